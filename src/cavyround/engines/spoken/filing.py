"""File the signs of a clause: which finding, at which place, there or not."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.lexicon import Meaning
from cavyround.engines.spoken.places import FEET, LEGS, Spot
from cavyround.engines.spoken.scoping import OF_PLACE
from cavyround.engines.spoken.sheets import Desk, Filed
from cavyround.facts.observation import Grade, Side, Status
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.words import SignWords

GAP = 6
PASSED = frozenset(
    [
        "the",
        "his",
        "her",
        "its",
        "their",
        "a",
        "an",
        "either",
        "each",
        "both",
        "left",
        "right",
        "one",
        "of",
        "bit",
        "little",
        "my",
        "lower",
        "upper",
        "hind",
        "front",
        "back",
        "only",
        "just",
        "right-hand",
        "left-hand",
        "hand",
        "outer",
        "inner",
        "same",
    ]
)
GRADES = ("healing", "worse", "same", "marked", "moderate", "slight")
PAIRED_BY_PLURAL = frozenset({"eye", "ear"})
# Signs that name their own place: what follows is said of it too ("no snot, no crust").
OF_ITSELF = frozenset({"nose", "eye", "mouth", "ear", "droppings", "urine"})
SURFACES = frozenset({"coat", "skin"})
# A step of its own whatever the region (vocabulary, section 2, exceptions).
STEPS = {
    "weight": "weight",
    "weight_change": "weight",
    "body_condition": "condition",
    "thin": "condition",
    "overweight": "condition",
    "limp": "legs_gait",
    "wobbly": "legs_gait",
    "stiff": "legs_gait",
    "dragging_legs": "legs_gait",
    "reluctant_to_move": "legs_gait",
    "circling": "legs_gait",
    "scratching": "skin",
    "in_season": "genitals",
    "sex_male": "genitals",
    "sex_female": "genitals",
    "breath_rate": "breathing",
    "pregnant": "",
    "temperature": "",
    "heart_rate": "",
}
OF_COAT = frozenset(
    {
        "bald_patch",
        "thin_hair",
        "broken_hair",
        "moulting",
        "matted",
        "dull",
        "lice",
        "nits",
        "mites",
        "fleas",
        "flaky",
        "greasy",
    }
)
NO_SIDE = frozenset({"head_shaking", "head_tilt", "none_passed"})
NEVER_UNCERTAIN = frozenset({"normal", "bright", "eating_normally", "lively"})


def step_of(region: str, finding: str, book: Knowledge) -> str:
    """The step a finding counts for; empty for none."""
    if finding in STEPS:
        return STEPS[finding]
    if finding in OF_COAT and region in ("whole", "skin") and finding not in ("flaky", "mites"):
        return "coat"
    return book.step_of(region)


class Filing:
    """Files the signs of one clause after another."""

    def __init__(self, desk: Desk, book: Knowledge, *, triage: bool = False) -> None:
        """``triage``: codes beyond the dictation vocabulary are read as well."""
        self.desk = desk
        self.book = book
        self.triage = triage

    def file(self, clause: Clause, spots: list[Spot]) -> int:
        """File all signs of a clause; returns how many findings."""
        filed = 0
        items = clause.items
        first_sign = next((at for at, one in enumerate(items) if one.has("sign")), len(items))
        sign_first = bool(spots) and first_sign < spots[0].at
        predicate = _normal_predicate(clause)
        for at, item in enumerate(items):
            if (
                item.has("kind")
                and not item.has("sign")
                and not item.left_out
                and all(self._is_of_last(spot) for spot in spots)
            ):
                self._describes(item)
            if not item.has("sign") or item.left_out or item.notes.get("kind_of"):
                continue
            if item.has("verb") and _is_doing(clause, at):
                continue
            if _is_of_a_thing(clause, at):
                item.left_out = "equipment"
                self.desk.last_sign = (item, ())
                continue
            if at == 0 and item.cue("resume") and not spots and not self.desk.pending:
                # "Okay then": nothing is said to be okay.
                continue
            following = items[at + 1] if at + 1 < len(items) else None
            if item.word == "good" and following is not None and following.has("sign"):
                # "a good scratch": how much, not how well.
                continue
            if _is_comment(clause, at, spots):
                item.left_out = "general_talk"
                continue
            groups = self._candidates(clause, at, spots, sign_first=sign_first)
            if predicate is not None and at < predicate and _is_explained(item, clause, predicate):
                item.left_out = "general_talk"
                continue
            filed += self._file_sign(clause, at, groups, begins=filed == 0)
        return filed

    def _candidates(
        self, clause: Clause, at: int, spots: list[Spot], *, sign_first: bool
    ) -> list[list[Spot]]:
        """Groups of places the sign may be at, the likeliest first."""
        after = _group_after(clause, at, spots)
        linked = bool(after) and _is_linked(clause, at, after[0])
        adjacent = bool(after) and _is_adjacent(clause, at, after[0])
        before = _group_before(clause, at, spots)
        groups: list[list[Spot]] = []
        if {"elsewhere", "else", "anywhere"} & set(clause.words):
            return [after] if linked else []
        if linked or (adjacent and (sign_first or not before)):
            groups.append(after)
        if before and self._goes_on(clause, before):
            before = [*self.desk.pending, *before]
        if before:
            groups.append(before)
        if adjacent and after not in groups:
            groups.append(after)
        if self.desk.pending and not before:
            groups.append(list(self.desk.pending))
        if before and self.desk.pending and _only_general(before):
            groups.append(list(self.desk.pending))
        return groups

    def _goes_on(self, clause: Clause, before: list[Spot]) -> bool:
        """ "eyes, ears, nose fine": the places before the commas belong to the list."""
        if not self.desk.pending or not self.desk.listing:
            return False
        lead = clause.items[: clause.items.index(before[0].items[0])]
        return all(one.word in ("and", "his", "her", "the", "or") for one in lead)

    def _file_sign(self, clause: Clause, at: int, groups: list[list[Spot]], *, begins: bool) -> int:
        item = clause.items[at]
        denied = item.notes.get("status") == Status.ABSENT
        if not groups and not denied and self._describes(item):
            return 0
        means = [one for one in item.of("sign") if self.triage or not one.entry.triage]
        topic = list(self.desk.topic)
        if {"elsewhere", "else", "anywhere"} & set(clause.words) or not self._may_carry(clause):
            topic = []
        chosen = _choose(means, groups, topic, home=bool(self.desk.home))
        chosen = [(sense, spot or _side_of_phrase(clause, at, sense)) for sense, spot in chosen]
        if not chosen:
            return 0
        filed = 0
        for sense, spot in chosen:
            status = _status(item, sense)
            if status is None:
                continue
            for code in (sense.finding, *sense.also):
                filing = self._filed(sense, code, spot, clause, at, status)
                self.desk.file(filing, begins=begins and filed == 0)
                filed += 1
        if filed:
            item.used = True
            self.desk.filed_spots = [spot for _, spot in chosen if spot is not None]
            if (
                not self.desk.filed_spots
                and not any(spot for _, spot in chosen)
                and (chosen[0][0].to in OF_ITSELF)
            ):
                self.desk.filed_spots = [Spot(chosen[0][0].to, Side.NOT_SAID, at)]
            spots_used = tuple(spot for _, spot in chosen if spot is not None)
            self.desk.last_sign = (item, spots_used)
        return filed

    def _is_of_last(self, spot: Spot) -> bool:
        return any(filed.region == spot.region for _, filed in self.desk.last)

    def _describes(self, item: Item) -> bool:
        """ "a lump on her flank, soft, moves about": more is said of what was just found."""
        codes = {one.code for one in item.of("kind")}
        for _, filed in self.desk.last:
            allowed = set(self.book.vocabulary.findings[filed.finding].kinds)
            if codes & allowed and filed.finding in DESCRIBED and filed.status != "absent":
                for _, one in self.desk.last:
                    one.kinds |= codes & allowed
                    one.items.append(item)
                item.used = True
                return True
        return False

    def _may_carry(self, clause: Clause) -> bool:
        """Whether the place spoken of before is this animal's: "Rocket's are clean"."""
        if not self.desk.foreign:
            return True
        return any(item.name and item.tail == "s" for item in clause.items)

    def _filed(
        self,
        sense: SignWords,
        code: str,
        spot: Spot | None,
        clause: Clause,
        at: int,
        status: Status,
    ) -> Filed:
        item = clause.items[at]
        region, side = _placed(sense, spot)
        if code != sense.finding:
            status = Status.PRESENT
        if spot is not None:
            for one in spot.items:
                one.used = True
        items = [*(spot.items if spot else ()), item]
        items += [one for one in clause.items if item.notes.get("cue") == str(one.start)]
        items += [one for one in clause.items if status == "uncertain" and one.cue("hedge")]
        grade = Grade(sense.grade) if sense.grade else _grade(clause, at)
        kinds = _kinds(clause, at, code, self.book) | set(sense.kinds)
        return Filed(
            region,
            code,
            side,
            status,
            items,
            grade,
            kinds,
            step=step_of(region, code, self.book),
            unsure="said with a doubt" if status == "uncertain" else "",
            homeless=spot is None and bool(sense.at),
            allowed=sense.at if spot is None else (),
        )


NO_SIGN_BEFORE = frozenset({"check", "checks", "treatment", "season", "watch", "round", "test"})


def _is_of_a_thing(clause: Clause, at: int) -> bool:
    """ "the battery's flat", "lump check": said of no animal."""
    items = clause.items
    following = items[at + 1] if at + 1 < len(items) else None
    if following is not None and following.word.split()[0] in NO_SIGN_BEFORE:
        return True
    if following is not None and following.number and items[at].has("about", "lost"):
        return True
    subject = next((one for one in reversed(items[:at]) if one.has("about", "equipment")), None)
    return subject is not None and (
        subject.tail == "s" or items[items.index(subject) + 1].word in ("is", "are", "was", "were")
    )


DESCRIBED = frozenset({"lump", "cyst", "abscess", "swelling", "discharge", "bite"})
DOES = frozenset(
    {"i", "ve", "not", "to", "did", "didnt", "havent", "we", "wont", "cant", "ll", "and"}
)
THEM = frozenset({"them", "em", "him", "her", "it", "his", "nails", "those", "these"})


def _is_doing(clause: Clause, at: int) -> bool:
    """ "I did not cut them": what somebody does is no finding."""
    before = clause.items[at - 1] if at else None
    after = clause.items[at + 1] if at + 1 < len(clause.items) else None
    if before is not None and (before.word in DOES - {"and", "to"} or before.tail in ("ve", "ll")):
        return True
    return (
        after is not None
        and after.word.split()[0] in THEM
        and (clause.items[at].word in ("cut", "scratch", "clean", "cuts"))
    )


def _is_comment(clause: Clause, at: int, spots: list[Spot]) -> bool:
    """ "but that's normal": a word about what was just said, no finding of its own."""
    item = clause.items[at]
    if spots or not item.has("sign", "normal") or item.word not in ("normal", "fine", "ok", "okay"):
        return False
    before = [one.word for one in clause.items[:at]]
    return (bool(before) and before[-1] in ("that", "thats", "which")) or before[-2:] in (
        ["that", "is"],
        ["which", "is"],
    )


def _status(item: Item, sense: SignWords) -> Status | None:
    said = item.notes.get("status")
    if sense.status == "uncertain":
        return Status.ABSENT if said == Status.ABSENT else Status.UNCERTAIN
    if sense.status == "absent":
        return None if said == Status.ABSENT else Status.ABSENT
    if sense.finding in NEVER_UNCERTAIN and said is not None:
        return None if said == Status.ABSENT else Status.PRESENT
    return Status(said) if said is not None else Status.PRESENT


def _placed(sense: SignWords, spot: Spot | None) -> tuple[str, Side]:
    if sense.to:
        fits = spot is not None and (
            spot.region == sense.to or sense.to in ("eye", "nose", "nails", "perineal_sac")
        )
        if sense.finding in NO_SIDE:
            return sense.to, Side.NOT_SAID
        return sense.to, spot.side if spot is not None and fits else Side.NOT_SAID
    if spot is None:
        return sense.home or "whole", Side.NOT_SAID
    region = spot.region
    if spot.loose and region not in sense.at and LEGS[spot.loose] in sense.at:
        region = LEGS[spot.loose]
    if sense.finding == "limp":
        region = {"foot": "hind_leg", **{v: LEGS[k] for k, v in FEET.items()}}.get(region, region)
    return region, spot.side


def _choose(
    means: list[Meaning], groups: list[list[Spot]], topic: list[Spot], *, home: bool = False
) -> list[tuple[SignWords, Spot | None]]:
    senses: list[SignWords] = [one.entry for one in means]
    for group in groups:
        fits = _fitting(senses, group, [spot.region for one in groups for spot in one])
        if fits:
            return fits
    keeping = [sense for sense in senses if sense.keeps]
    if keeping and (fits := _fitting(keeping, topic, [spot.region for spot in topic])):
        return fits
    free = [sense for sense in senses if not sense.at and (sense.to or sense.home)]
    if free:
        sense = free[0]
        said = [spot for group in groups for spot in group]
        near = next((spot for spot in said if spot.region == sense.to), None)
        if near is None and not sense.to:
            near = next((spot for spot in said if _is_surface(spot.region)), None)
        return [(sense, near)]
    far = [sense for sense in senses if home or not sense.near]
    fits = _fitting(far, topic, [spot.region for spot in topic])
    if fits:
        return fits
    at_home = next((sense for sense in senses if sense.home), None)
    return [(at_home, None)] if at_home is not None else []


def _fitting(
    senses: list[SignWords], group: list[Spot], around: list[str]
) -> list[tuple[SignWords, Spot | None]]:
    fits: list[tuple[SignWords, Spot | None]] = []
    for spot in group:
        for sense in senses:
            at = sense.at
            if spot.region in at or (spot.loose and LEGS[spot.loose] in at):
                fits.append((sense, spot))
                break
            # "fur is thin on the flanks": coat said, place elsewhere.
            if (
                SURFACES & set(at) & set(around)
                and spot.region not in SURFACES
                and (sense.finding != "normal")
                and _is_surface(spot.region)
            ):
                fits.append((sense, spot))
                break
    return fits


def _is_surface(region: str) -> bool:
    return region in {
        "head",
        "face",
        "neck",
        "chin",
        "chest",
        "shoulder",
        "back",
        "flank",
        "rump",
        "belly",
        "groin",
        "behind_ear",
        "front_leg",
        "hind_leg",
        "anus",
        "nose",
        "ear",
    }


def _side_of_phrase(clause: Clause, at: int, sense: SignWords) -> Spot | None:
    """ "left lens cloudy": the words name their own place, the side stands before them."""
    if not sense.to:
        return None
    within = clause.items[at].word.split()
    for word, side in (("left", Side.LEFT), ("right", Side.RIGHT), ("both", Side.BOTH)):
        if word in within:
            return Spot(sense.to, side, at, ())
    for item in reversed(clause.items[max(0, at - 2) : at]):
        if item.has("side") and item.word in ("left", "right", "both"):
            if item.word == "right" and clause.items[0] is item and clause.opens:
                return None
            return Spot(sense.to, Side(item.of("side")[0].code), at, (item,))
    return None


def _only_general(group: list[Spot]) -> bool:
    return all(spot.region in SURFACES for spot in group)


def _group_before(clause: Clause, at: int, spots: list[Spot]) -> list[Spot]:
    before = [spot for spot in spots if spot.at < at]
    if not before:
        return []
    group = [before[-1]]
    for spot in reversed(before[:-1]):
        between = clause.items[spot.end + 1 : group[0].at]
        words = {item.word for item in between if not any(item is i for i in group[0].items)}
        if words - {"and", "or", "his", "her", "the", "its"}:
            break
        if spot.region in SURFACES and clause.items[group[0].at].word.split()[0] in OF_PLACE:
            # "skin over the back": one place, not two.
            break
        group.insert(0, spot)
    return group


def _group_after(clause: Clause, at: int, spots: list[Spot]) -> list[Spot]:
    after = [spot for spot in spots if spot.at > at]
    if not after:
        return []
    group = [after[0]]
    for spot in after[1:]:
        between = {item.word for item in clause.items[group[-1].end + 1 : spot.at]}
        if between - {"and", "or", "his", "her", "the", "its", "left", "right"} or not between:
            break
        group.append(spot)
    return group


def _between(clause: Clause, at: int, spot: Spot) -> list[Item]:
    begin = min([spot.at, *(clause.items.index(one) for one in spot.items if one in clause.items)])
    return clause.items[at + 1 : max(begin, at + 1)]


def _is_linked(clause: Clause, at: int, spot: Spot) -> bool:
    between = _between(clause, at, spot)
    if len(between) > GAP or any(
        one.has("sign") and not one.notes.get("kind_of") for one in between
    ):
        # "crust and discharge on the left eye": both are there.
        signs = [one for one in between if one.has("sign")]
        if len(between) > GAP or len(signs) > 2:
            return False
        rest = {one.word for one in between if not one.has("sign")}
        return bool(rest & OF_PLACE) and bool({"and", "or", "no"} & rest)
    return (
        any(one.word in OF_PLACE for one in between)
        or (spot.region == "behind_ear" and len(between) <= 2)
        or clause.items[spot.at].word.split()[0] in OF_PLACE | {"behind", "under"}
    )


def _is_adjacent(clause: Clause, at: int, spot: Spot) -> bool:
    between = _between(clause, at, spot)
    return all(one.word in PASSED or one.has("side") for one in between)


def _normal_predicate(clause: Clause) -> int | None:
    """Where the clause says that something "is normal": what was named is then no finding."""
    for at, item in enumerate(clause.items):
        if item.has("sign", "normal") and item.word == "normal" and at:
            before = clause.items[at - 1]
            if before.tail == "s" or before.word in ("is", "are", "thats", "that", "perfectly"):
                return at
    return None


def _is_explained(item: Item, clause: Clause, predicate: int) -> bool:
    if item.left_out or item.has("sign", "normal"):
        return False
    between = clause.items[clause.items.index(item) + 1 : predicate]
    return not any(one.word in ("but", "and") for one in between)


def _grade(clause: Clause, at: int) -> Grade | None:
    items = clause.items
    for index in range(at - 1, max(-1, at - 5), -1):
        if items[index].has("sign"):
            break
        for grade in GRADES:
            if items[index].cue(grade):
                items[index].used = True
                return Grade(grade)
    for index in range(at + 1, len(items)):
        if items[index].has("sign") and not items[index].has("cue"):
            break
        for grade in GRADES:
            if items[index].cue(grade):
                items[index].used = True
                return Grade(grade)
    return None


def _kinds(clause: Clause, at: int, finding: str, book: Knowledge) -> set[str]:
    """Words beside the sign that describe it more closely, if it has such kinds."""
    allowed = set(book.vocabulary.findings[finding].kinds)
    kinds: set[str] = set()
    if not allowed:
        return kinds
    for index, item in enumerate(clause.items):
        if item.left_out or abs(index - at) > GAP:
            continue
        if index != at and item.has("sign") and not item.notes.get("kind_of"):
            continue
        for one in item.of("kind"):
            if one.code in allowed:
                kinds.add(one.code)
                item.used = True
    return kinds


def mark_kinds(clauses: list[Clause], book: Knowledge) -> None:
    """Words that only describe the sign right behind them: "yellow discharge", "hard lump"."""
    for clause in clauses:
        items = clause.items
        for at, item in enumerate(items):
            if not (item.has("kind") and item.has("sign")):
                continue
            for later in items[at + 1 : at + 5]:
                if later.has("place") or later.word in ("and", "is", "are", "but", "or"):
                    break
                if later.has("sign") and not later.has("kind"):
                    codes = {one.code for one in item.of("kind")}
                    if any(
                        codes & set(book.vocabulary.findings[one.code].kinds)
                        for one in later.of("sign")
                    ):
                        item.notes["kind_of"] = "next"
                    break
