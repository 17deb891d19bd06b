"""Small care as it is told: done, partly, not done, planned; doses keep the unit that was said."""

from collections.abc import Iterable
from decimal import Decimal

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.places import Spot
from cavyround.engines.spoken.sheets import Desk, Given
from cavyround.facts.observation import Side
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.words import CareWords

BY_PRODUCT = {
    "ivermectin": "spot_on",
    "selamectin": "spot_on",
    "honey": "cream",
    "barrier cream": "cream",
    "probiotic": "probiotic",
}
DOSED = frozenset({"medicine_dose", "vitamin_c", "syringe_feed", "spot_on", "probiotic"})
MEASURED = frozenset({"medicine_dose", "vitamin_c", "syringe_feed", "probiotic"})
CLOCK = frozenset({"at", "past", "about", "oclock", "half", "quarter"})
FUTURE = frozenset(
    {"will", "gonna", "going", "need", "needs", "should", "must", "ll", "tomorrow", "want", "wants"}
)
# These are done by the telling: an appointment is booked today for another day.
DONE_BY_TELLING = frozenset({"vet_call", "moved", "sample", "photo"})
SIDED = {
    "ear_wipe": "ear",
    "eye_wipe": "eye",
    "eye_drops": "eye",
    "foot_soak": "foot",
    "hair_removed": "",
    "wound_clean": "",
    "cream": "",
}
PRONOUNS = frozenset({"it", "them", "em", "that", "those", "both", "him", "her"})


class Caring:
    """Reads the care of one clause after another."""

    def __init__(self, desk: Desk, book: Knowledge) -> None:
        """It files on the desk."""
        self.desk = desk
        self.by_code = {one.care: one for one in book.words.care}
        self.product = ""

    def file(self, clause: Clause, spots: list[Spot]) -> int:
        """File all care of a clause; returns how many items."""
        self._remember(clause)
        if any(
            item.left_out in ("hypothetical", "general_talk", "question", "history", "other_person")
            for item in clause.items
        ) and not any(item.has("care") and not item.left_out for item in clause.items):
            return 0
        found = self._found(clause, spots)
        if not found and not spots:
            self._put_off(clause)
        filed = 0
        for care, its_items, product in found:
            self._file(clause, care, its_items, product, spots, begins=filed == 0)
            filed += 1
        return filed

    def _put_off(self, clause: Clause) -> None:
        """ "haven't cut them, will do Sunday"; "next lot in two weeks"."""
        plan = [item for item in clause.items if item.cue("plan") and not item.left_out]
        future = plan or [item for item in clause.items if item.tail == "ll"]
        if not future or any(item.has("sign") or item.number for item in clause.items):
            return
        doing = set(clause.words) & {"do", "done", "finish", "try"}
        again = any(item.word.startswith(("next", "second")) for item in future)
        for name, given in list(self.desk.last_care):
            if clause.sentence - given.sentence > 1:
                continue
            if given.status == "not_done" and doing:
                given.status = "planned"
                given.items += future
            elif again and given.status == "done" and given.care in DOSED:
                later = Given(
                    given.care,
                    given.side,
                    "planned",
                    list(future),
                    given.product,
                    sentence=clause.sentence,
                )
                self.desk.sheet(name).care.append(later)

    def _remember(self, clause: Clause) -> None:
        for item in clause.items:
            for one in item.of("product"):
                self.product, self.desk.care_topic = one.code, "medicine_dose"
            if item.has("care", "vitamin_c"):
                self.desk.care_topic = "vitamin_c"

    def _found(self, clause: Clause, spots: list[Spot]) -> list[tuple[str, list[Item], str]]:
        found: dict[str, tuple[list[Item], str]] = {}
        given = [one for one in clause.items if one.has("given") and not one.left_out]
        numbers = [one for one in clause.items if one.number and not one.left_out]
        for item in clause.items:
            if item.left_out:
                continue
            for one in item.of("care"):
                code = one.code
                if code in ("medicine_dose", "vitamin_c", "probiotic", "bath") and not (
                    self._is_given(clause, item, given, numbers)
                ):
                    continue
                if code == "wound_clean" and item.cue("no"):
                    continue
                found.setdefault(code, ([item], ""))
            for one in item.of("product"):
                code = BY_PRODUCT.get(one.code, "medicine_dose")
                if not self._is_given(clause, item, given, numbers):
                    continue
                if code == "cream" and not {"cream", "on", "put"} & set(clause.words):
                    continue
                kept, _ = found.pop(code, ([], ""))
                found[code] = ([*kept, item], one.code)
        for code, item in self._by_verbs(clause, spots):
            found.setdefault(code, ([item], ""))
        self._by_pronoun(clause, found, given, numbers)
        nails = [spot for spot in spots if spot.region == "nails"]
        if nails and not found and _not_done_here(clause):
            found["nail_trim"] = ([nails[0].items[0]], "")
        if "spot_on" in found and "medicine_dose" in found:
            del found["medicine_dose"]
        if (
            "cream" in found
            and "wound_clean" in found
            and not any(one.has("verb", "wound_clean") for one in clause.items)
        ):
            del found["wound_clean"]
        return [(code, items, product) for code, (items, product) in found.items()]

    @staticmethod
    def _is_given(clause: Clause, item: Item, given: list[Item], numbers: list[Item]) -> bool:
        words = set(clause.words)
        giving = {
            "gave",
            "given",
            "giving",
            "had",
            "took",
            "taken",
            "dosed",
            "administered",
            "syringed",
            "done",
            "got",
            "give",
            "gets",
            "dose",
            "refused",
            "spat",
            "in",
        }
        if any(one.has("unit", "mg") or one.has("unit", "ml") for one in clause.items):
            return True
        if words & giving - {"in"} or (item.has("care") and words & {"in", "done"}):
            return True
        if clause.cued("plan", "not_done") and not {"on", "still"} <= words:
            return True
        return (
            bool(numbers)
            and any(one.number and one.number.value < 60 for one in numbers)
            and (clause.items[0] is item or "of" in words or "for" in words)
        )

    def _by_verbs(self, clause: Clause, spots: list[Spot]) -> Iterable[tuple[str, Item]]:
        here = [spot.region for spot in spots] + [spot.region for spot in self.desk.pending]
        topic = [spot.region for spot in self.desk.topic]
        done: set[str] = set()
        for at, item in enumerate(clause.items):
            if item.left_out or not item.has("verb"):
                continue
            if item.has("sign") and not _is_verb_here(clause, at):
                continue
            for regions in (here, topic if _has_object(clause, at) else []):
                fits = self._care_at(item, regions)
                if fits is not None and fits.care not in done:
                    if fits.needs_sign and not self._has_sign(fits.needs_sign):
                        continue
                    if (
                        fits.care == "nail_trim"
                        and item.word in ("do", "doing", "did")
                        and (not here)
                        and "em" not in clause.words
                    ):
                        continue
                    done.add(fits.care)
                    yield fits.care, item
                    break

    @staticmethod
    def _care_at(item: Item, regions: list[str]) -> CareWords | None:
        for region in reversed(regions):
            for one in item.of("verb"):
                entry: CareWords = one.entry
                if region in entry.places:
                    if entry.care == "wound_clean" and region in ("skin", "ear", "nails"):
                        continue
                    return entry
        return None

    def _has_sign(self, finding: str) -> bool:
        return any(filed.finding == finding for _, filed in self.desk.last)

    def _by_pronoun(
        self,
        clause: Clause,
        found: dict[str, tuple[list[Item], str]],
        given: list[Item],
        numbers: list[Item],
    ) -> None:
        """ "gave it", "had his fifty": what was spoken of before."""
        if found or not given or not self.desk.care_topic:
            return
        gave = [one for one in given if one.word in ("gave", "given", "had", "took", "dosed")]
        doses = [one for one in numbers if one.number and one.number.value <= LARGEST_DOSE]
        obj = any(word in ("it", "them", "that") for word in clause.words)
        if gave and ((gave[0].word == "gave" and obj) or (doses and not self._weight_like(doses))):
            product = self.product if self.desk.care_topic == "medicine_dose" else ""
            found[self.desk.care_topic] = ([gave[0]], product)

    @staticmethod
    def _weight_like(doses: list[Item]) -> bool:
        return any(one.used for one in doses)

    def _file(
        self,
        clause: Clause,
        care: str,
        its_items: list[Item],
        product: str,
        spots: list[Spot],
        *,
        begins: bool,
    ) -> None:
        status = _status(clause, care, its_items[0])
        entry = self.by_code[care]
        side = _side(care, spots, self.desk)
        value, unit = None, None
        measured: list[Item] = []
        if care in MEASURED:
            value, unit, measured = _amount(clause, its_items)
        elif care == "spot_on":
            value, unit, measured = _drops(clause)
        for one in (*its_items, *measured):
            one.used = True
        if care == "medicine_dose" and not product:
            product = self._generic(its_items)
        if care == "sample":
            product = _sample_of(clause)
        if begins:
            self.desk.last_care = []
        for name in self.desk.of_now:
            given = Given(
                care,
                side,
                status,
                [*its_items, *measured],
                product,
                value,
                unit,
                entry.step,
                clause.sentence,
            )
            self.desk.sheet(name).care.append(given)
            self.desk.last_care.append((name, given))
            if care in ("medicine_dose", "vitamin_c", "syringe_feed") and (
                value is not None and unit is None
            ):
                self.desk.sheet(name).asks.append(
                    ("dose_unit", f"{value} of what? Milligrams or millilitres?", tuple(measured))
                )

    @staticmethod
    def _generic(its_items: list[Item]) -> str:
        for one in its_items:
            for product in one.of("product"):
                return product.code
        return ""


LARGEST_DOSE = Decimal(100)
LOOKING = frozenset({"see", "look", "looked", "check", "checked", "seen", "looking"})


def _not_done_here(clause: Clause) -> bool:
    """ "didn't do her nails": the care was left, not the look."""
    return any(
        item.cue("not_done", "skip")
        and not set(item.word.split()) & LOOKING
        and item.word.split()[0] not in ("no", "left", "leaving", "so")
        for item in clause.items
    )


GENERIC = frozenset({"meds", "medicine", "medication"})


def _is_verb_here(clause: Clause, at: int) -> bool:
    before = clause.items[at - 1].word if at else ""
    after = clause.items[at + 1].word.split()[0] if at + 1 < len(clause.items) else ""
    if after in PRONOUNS:
        return True
    return before in (
        "i",
        "ve",
        "have",
        "got",
        "was",
        "been",
        "and",
        "we",
        "then",
        "just",
        "not",
        "did",
        "didnt",
        "havent",
        "to",
    ) or (at > 0 and clause.items[at - 1].tail in ("ve", "s", "ll"))


def _has_object(clause: Clause, at: int) -> bool:
    words = clause.items[at].word.split()
    if set(words) & PRONOUNS:
        return True
    following = [one.word for one in clause.items[at + 1 : at + 3]]
    return bool(set(following) & PRONOUNS) or at + 1 >= len(clause.items) or at == 0


def _status(clause: Clause, care: str, item: Item) -> str:
    at = clause.items.index(item)
    before = _near_before(clause, at)
    words = {word for one in before for word in one.word.split()}
    if any(one.cue("not_done") or one.cue("no") for one in before) or any(
        one.cue("not_done") for one in clause.items[at:] if one.word not in ("cant", "left")
    ):
        return "not_done"
    future = bool(words & FUTURE) or any(one.tail == "ll" for one in before)
    if care in DONE_BY_TELLING:
        return "planned" if future else "done"
    if future or (clause.cued("plan") and not {"done", "gave", "given", "did"} & set(clause.words)):
        return "planned"
    if item.word.endswith(" only"):
        return "partly"
    if care in (
        "nail_trim",
        "grease_gland_clean",
        "sac_clean",
        "coat_trim",
        "bath",
        "ear_wipe",
        "brush",
    ) and clause.cued("partly"):
        return "partly"
    return "done"


def _side(care: str, spots: list[Spot], desk: Desk) -> Side:
    if care not in SIDED:
        return Side.NOT_SAID
    organ = SIDED[care]
    for spot in (*reversed(spots), *desk.pending, *desk.topic):
        if organ in ("", spot.region) or (organ == "foot" and "foot" in spot.region):
            if organ == "" and care != "hair_removed":
                return Side.NOT_SAID
            return spot.side
    return Side.NOT_SAID


def _amount(clause: Clause, its_items: list[Item]) -> tuple[Decimal | None, str | None, list[Item]]:
    """The number nearest to the care, and its unit if one was said."""
    items = clause.items
    home = items.index(its_items[-1]) if its_items[-1] in items else 0
    best: tuple[int, int] | None = None
    for at, item in enumerate(items):
        if item.number is None or item.used or item.left_out or _is_clock(items, at):
            continue
        if best is None or abs(at - home) < best[0]:
            best = (abs(at - home), at)
    if best is None:
        return None, None, []
    at = best[1]
    number = items[at].number
    assert number is not None  # noqa: S101 -- looked at just above
    following = items[at + 1] if at + 1 < len(items) else None
    if following is not None and following.has("unit"):
        codes = [one.code for one in following.of("unit")]
        unit = next((code for code in codes if code in ("ml", "mg", "g")), None)
        if unit is None and set(codes) & {"kg", "lb", "oz"}:
            return None, None, []
        return number.value, unit, [items[at], following]
    if number.value > LARGEST_DOSE:
        return None, None, []
    return number.value, None, [items[at]]


def _is_clock(items: list[Item], at: int) -> bool:
    before = items[at - 1].word if at else ""
    after = items[at + 1].word if at + 1 < len(items) else ""
    return before in CLOCK or after in (
        "past",
        "to",
        "oclock",
        "am",
        "pm",
        "days",
        "weeks",
        "day",
        "drops",
        "drop",
        "times",
        "week",
        "hours",
        "o",
    )


def _drops(clause: Clause) -> tuple[Decimal | None, str | None, list[Item]]:
    for at, item in enumerate(clause.items[:-1]):
        if item.number is not None and clause.items[at + 1].word.startswith("drop"):
            return item.number.value, None, [item]
    return None, None, []


def _near_before(clause: Clause, at: int) -> list[Item]:
    """What stands before a care in the same thought."""
    near: list[Item] = []
    for item in reversed(clause.items[:at]):
        if len(near) > NEAR or (item.has("sign") and not item.has("verb")):
            break
        near.insert(0, item)
    return near


NEAR = 5
SAMPLES = {
    "pluck": "hair",
    "hair": "hair",
    "wee": "urine",
    "urine": "urine",
    "pee": "urine",
    "poo": "droppings",
    "poop": "droppings",
    "poos": "droppings",
    "faecal": "droppings",
    "fecal": "droppings",
    "stool": "droppings",
    "droppings": "droppings",
    "skin": "skin",
    "scrape": "skin",
    "scraping": "skin",
    "tape": "skin",
    "swab": "swab",
}


def _sample_of(clause: Clause) -> str:
    return next((SAMPLES[word] for word in clause.words if word in SAMPLES), "")
