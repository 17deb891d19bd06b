"""Turns of speech: who is meant, what is taken back, what a clause without a sign adds."""

from dataclasses import replace
from decimal import Decimal

from cavyround.engines.spoken.choosing import OF_ITSELF
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.places import Spot
from cavyround.engines.spoken.sheets import Desk, Filed, Given
from cavyround.engines.spoken.steps import step_of
from cavyround.facts.observation import Side, Status
from cavyround.knowledge.book import Knowledge

ALL_OF_THEM = frozenset(
    [
        "all of them",
        "both of them",
        "none of them",
        "the three of them",
        "all three",
        "all four",
        "the pair",
        "the two of them",
        "all weighed",
        "both had",
        "both have",
        "both took",
        "both got",
        "both are",
        "both eating",
        "they re",
        "the lot",
        "all eating",
        "both fine",
        "three of them",
        "two of them",
        "for both",
        "either of them",
        "the four of them",
        "both been",
        "both bright",
        "both good",
        "the pair of them",
        "of both",
        "all had",
        "all have",
        "all been",
        "they both",
        "neither of them",
        "every one of them",
        "both were",
        "all bright",
        "none of the",
    ]
)
GROUPS = frozenset(
    {"girls", "boys", "ladies", "lads", "sows", "boars", "babies", "pups", "pigs", "piggies"}
)
COUNTED = frozenset(["two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"])
LUMPY = frozenset({"chin", "neck", "belly", "groin", "chest", "shoulder", "flank", "back", "rump"})
AGAIN = frozenset({"too", "also", "well", "same", "maybe", "likewise", "another"})
DOUBT = frozenset(
    [
        "not sure",
        "i think",
        "hard to hear",
        "cant be sure",
        "i cant be sure",
        "unsure",
        "hard to say",
        "cant tell",
        "not certain",
        "couldnt be sure",
        "hard to tell",
        "im not sure",
        "not totally sure",
        "not convinced",
        "wouldnt swear",
        "cant say",
        "i m not sure",
        "hard to be sure",
        "not a hundred percent",
        "i m not certain",
        "dont quote me",
        "not definite",
        "not confident",
    ]
)
EXCUSES = frozenset(["run", "running", "chased", "chasing", "ran"])
SIDED_CARE = frozenset({"ear_wipe", "eye_wipe", "eye_drops", "foot_soak"})


class Turning:
    """Keeps the desk on the right animal and place."""

    def __init__(self, desk: Desk) -> None:
        """It works on the desk."""
        self.desk = desk
        self.names_only = False

    def begin(self, clause: Clause, clauses: list[Clause], index: int) -> None:
        """Turn to the animals that a clause names."""
        desk = self.desk
        self.for_all = self.saved = None
        names = [
            item.name for item in clause.items if item.name and not _is_bystander(clause, item)
        ]
        if clause.cued("correction") and not _only_left_out(clause):
            desk.correcting = 4
        elif desk.correcting:
            desk.correcting -= 1
        if names:
            self._turn_to(clause, clauses, index, list(dict.fromkeys(names)))
        elif not desk.named and not desk.current and _group_words(clause):
            desk.group = _group_words(clause)
            desk.current = [desk.group]
        elif len(desk.named) > 1 and (_means_all(clause) or _both_first(clause)):
            self.saved = list(desk.current)
            desk.current = list(desk.named)
        elif desk.group and _means_all(clause):
            desk.current = [desk.group]

    def _turn_to(self, clause: Clause, clauses: list[Clause], index: int, names: list[str]) -> None:
        desk = self.desk
        alone = all(
            item.name
            or item.word in ("and", "so", "okay", "right", "now", "first", "then")
            or item.cue("resume")
            for item in clause.items
        )
        if alone and desk.correcting and desk.last and len(names) == 1:
            self._reassign(names[0])
            return
        if (
            self.names_only
            and index
            and clauses[index - 1].sentence == clause.sentence
            and (alone or clause.items[0].word == "and")
        ):
            desk.current = list(dict.fromkeys([*desk.current, *names]))
        elif alone and index and _ends_with_name(clauses[index - 1], clause):
            # "for Nora, Dot and Elsie": the care goes to all of them.
            for name in names:
                for _, given in list(desk.last_care):
                    if not any(one.care == given.care for one in desk.sheet(name).care):
                        desk.sheet(name).care.append(replace(given))
            desk.current = list(dict.fromkeys([*desk.current, *names]))
        else:
            if names != desk.current:
                desk.pending = []
                # What was said before anybody was named is this animal's.
                desk.foreign = bool(desk.current)
            if len(names) > 1 and not _joined(clause):
                names = names[-1:] if alone else names
            desk.current = names
        for name in names:
            if name not in desk.named:
                desk.named.append(name)
            desk.sheet(name)
        self.names_only = alone

    def _reassign(self, name: str) -> None:
        desk = self.desk
        moved = list(desk.last)
        desk.last = []
        desk.current = [name]
        if name not in desk.named:
            desk.named.append(name)
        for old_name, filed in moved:
            desk.sheet(old_name).drop(filed)
        for filed in {id(filed): filed for _, filed in moved}.values():
            desk.sheet(name).file(filed)
            desk.last.append((name, filed))
        desk.correcting = 0

    def amount(self, clause: Clause) -> None:
        """ "her metacam, nought point two": the number in the next breath is the dose's."""
        desk = self.desk
        loose = [
            item for item in clause.items if item.number and not item.used and not item.left_out
        ]
        if len(loose) != 1 or not desk.last_care:
            return
        rest = [item for item in clause.items if item is not loose[0] and not item.has("unit")]
        number = loose[0].number
        if (
            number is None
            or number.value > Decimal(100)
            or any(
                not (item.word in ("of", "about", "a", "just", "so", "at") or item.has("product"))
                for item in rest
            )
        ):
            return
        units = [item for item in clause.items if item.has("unit")]
        code = units[0].of("unit")[0].code if units else None
        for name, given in desk.last_care:
            if (
                given.care in ("medicine_dose", "vitamin_c", "syringe_feed")
                and given.value is None
                and (abs(given.sentence - clause.sentence) <= 1)
            ):
                given.value, given.unit = number.value, code if code in ("ml", "mg", "g") else None
                given.items.append(loose[0])
                loose[0].used = True
                if given.unit is None:
                    desk.sheet(name).asks.append(
                        (
                            "dose_unit",
                            f"{number.value} of what? Milligrams or millilitres?",
                            (loose[0],),
                        )
                    )

    def corrected(self, before: list[tuple[str, Filed]]) -> None:
        """The last word wins: what was said just before of the same thing is taken back."""
        desk = self.desk
        if not desk.correcting:
            return
        for name, new in desk.last:
            for old_name, old in before:
                if old is new or old_name != name or old.finding in ("weight", "normal"):
                    continue
                same_sign = old.finding == new.finding and old.side != new.side
                same_place = (old.region, old.side) == (new.region, new.side) and (
                    new.finding not in (old.finding, "normal")
                )
                sexes = {old.finding, new.finding} == {"sex_male", "sex_female"}
                if (same_sign and (old.region == new.region)) or same_place or sexes:
                    desk.sheet(name).drop(old)
        desk.correcting = 0

    def without_sign(self, clause: Clause, spots: list[Spot], book: Knowledge, *, done: int) -> int:
        """What a clause without a sign adds: "left as well", "all gone", "not sure", "nothing"."""
        items = [item for item in clause.items if not item.left_out]
        if not items:
            return 0
        if self._denied_of(clause, items, spots):
            return 1
        if (not done or self.desk.home) and self._resolved(clause, items, spots, book):
            return 1
        words = {word for item in items for word in item.word.split()}
        if self._excused(clause):
            return 0
        if not spots and any(
            item.cue("hedge")
            and (item.word in DOUBT or item.word.split()[0] in ("might", "could", "may"))
            for item in items
        ):
            for _, filed in self.desk.last:
                if filed.finding not in ("normal", "weight", "bright"):
                    filed.status, filed.unsure = Status.UNCERTAIN, "said with a doubt"
            return 0
        sided = [spot for spot in spots if spot.side in (Side.LEFT, Side.RIGHT, Side.BOTH)]
        self._care_side(clause, sided)
        if done or not spots:
            return 0
        if self._relocated(spots, book, words):
            return 1
        unfelt = "anything" in words and any(item.cue("no") for item in items)
        if unfelt or any(item.cue("nothing") for item in items):
            return self._nothing(spots, book, items)
        if sided:
            return self._resided(clause, sided, words)
        return 0

    def _care_side(self, clause: Clause, sided: list[Spot]) -> None:
        """ "cleaned both ears, well the left": the last word on the side counts."""
        desk = self.desk
        if not sided or not desk.last_care:
            return
        for name, given in list(desk.last_care):
            if given.care not in SIDED_CARE or clause.sentence - given.sentence > 1:
                continue
            if _refused(clause) and given.side != sided[-1].side:
                other = Given(
                    given.care,
                    sided[-1].side,
                    "not_done",
                    list(sided[-1].items),
                    given.product,
                    step=given.step,
                    sentence=clause.sentence,
                )
                desk.sheet(name).care.append(other)
            elif given.side is Side.NOT_SAID or desk.correcting:
                given.side = sided[-1].side
                given.items += sided[-1].items

    def _resolved(
        self, clause: Clause, items: list[Item], spots: list[Spot], book: Knowledge
    ) -> bool:
        ends = [item for item in items if item.cue("no_after")]
        if not ends or self.desk.last_sign is None:
            return False
        if any(item.number for item in items):
            return False
        if spots and not any(item.word in ("all", "that") for item in items):
            return False
        if all(item.word in ("nothing", "not today", "not now") for item in ends):
            return False
        sign, sign_spots = self.desk.last_sign
        fresh = [filed for _, filed in self.desk.last if sign in filed.items]
        if fresh:
            for filed in fresh:
                if filed.finding == "normal":
                    return False
                filed.status, filed.unsure = Status.ABSENT, ""
                filed.items += ends
        else:
            self._file_gone(sign, sign_spots, ends, book)
        for item in ends:
            item.used = True
        return True

    def _denied_of(self, clause: Clause, items: list[Item], spots: list[Spot]) -> bool:
        """ "Not from Rex", "Sadie I don't know": what was said of several, sorted out by name."""
        desk = self.desk
        names = [item.name for item in items if item.name]
        if len(names) == 1 and words_refuse(clause) and desk.sheet(names[0]).care:
            refused = desk.sheet(names[0]).care[-1]
            refused.status, refused.value, refused.unit = "not_done", None, None
            return True
        if len(names) != 1 or spots or desk.last_sign is None or any(item.number for item in items):
            return False
        denied = any(item.cue("no") or item.word in ("isnt", "wasnt") for item in items)
        doubt = any(item.cue("hedge") for item in items)
        sign, _ = desk.last_sign
        for filed in desk.sheet(names[0]).findings:
            if sign in filed.items and (denied or doubt) and len(clause.words) <= 6:
                filed.status = Status.ABSENT if denied and not doubt else Status.UNCERTAIN
                filed.items += [item for item in items if item.cue("no", "hedge")]
                return True
        return False

    def _file_gone(
        self, sign: Item, spots: tuple[Spot, ...], ends: list[Item], book: Knowledge
    ) -> None:
        senses = [one.entry for one in sign.of("sign") if one.code != "normal"]
        said = {spot.region for spot in spots}
        fitting = [one for one in senses if said & set(one.at)]
        senses = fitting or [one for one in senses if one.to or one.home]
        if not senses:
            return
        sense = senses[0]
        spot = next((spot for spot in spots if spot.region in sense.at), None)
        region = sense.to or (spot.region if spot else "") or sense.home or "whole"
        side = spot.side if spot is not None and spot.region == region else Side.NOT_SAID
        self.desk.file(
            Filed(
                region,
                sense.finding,
                side,
                Status.ABSENT,
                [sign, *ends],
                step=step_of(region, sense.finding, book),
            ),
            begins=True,
        )

    def _excused(self, clause: Clause) -> bool:
        """ "but she's just had a run": fast breath then says little."""
        words = clause.words
        if "just" in words and set(words) & EXCUSES:
            for name in self.desk.of_now:
                for filed in self.desk.sheet(name).findings:
                    if filed.finding == "fast" and filed.status is Status.PRESENT:
                        filed.status, filed.unsure = Status.UNCERTAIN, "after a run"
            return True
        return False

    def _nothing(self, spots: list[Spot], book: Knowledge, items: list[Item]) -> int:
        filed = 0
        for spot in spots:
            lumpy = spot.region in LUMPY
            finding = "lump" if lumpy else "normal"
            status = Status.ABSENT if lumpy else Status.PRESENT
            used = [*spot.items, *[item for item in items if item.cue("nothing")]]
            for item in used:
                item.used = True
            self.desk.file(
                Filed(
                    spot.region,
                    finding,
                    spot.side,
                    status,
                    used,
                    step=step_of(spot.region, finding, book),
                ),
                begins=filed == 0,
            )
            filed += 1
        return filed

    def _relocated(self, spots: list[Spot], book: Knowledge, words: set[str]) -> bool:
        """ "a bald patch, well two, one on each flank": the place follows the sign."""
        desk = self.desk
        spot = spots[-1]
        for _, filed in desk.last:
            if filed.homeless and spot.region in filed.allowed:
                filed.region, filed.side, filed.homeless = spot.region, spot.side, False
                filed.step = step_of(spot.region, filed.finding, book)
                filed.items += spot.items
                desk.topic, desk.foreign = (spot,), False
                return True
        if "one" in words and words & {"the", "new", "another", "other"} and desk.last_sign:
            sign, _ = desk.last_sign
            sense = next(
                (one.entry for one in sign.of("sign") if spot.region in one.entry.at), None
            )
            if sense is not None and sense.form == "thing":
                desk.file(
                    Filed(
                        spot.region,
                        sense.finding,
                        spot.side,
                        Status.PRESENT,
                        [sign, *spot.items],
                        step=step_of(spot.region, sense.finding, book),
                    ),
                    begins=True,
                )
                return True
        return False

    def _resided(self, clause: Clause, sided: list[Spot], words: set[str]) -> int:
        """The same again on another side, or the side put right."""
        desk = self.desk
        spot = sided[-1]
        for _, filed in desk.last:
            if filed.homeless and spot.loose:
                filed.region = f"{spot.loose}_leg" if filed.region.endswith("_leg") else spot.region
                filed.side, filed.homeless = spot.side, False
                filed.items += spot.items
                desk.topic = (spot,)
                return 1
        same = [
            (name, filed)
            for name, filed in desk.last
            if (filed.region == spot.region or (spot.loose and _limb(filed.region) == spot.loose))
            and filed.side != spot.side
            and filed.finding not in ("weight", "normal")
        ]
        if not same:
            return 0
        hedged = any(item.cue("hedge") for item in clause.items)
        if all(filed.side is Side.NOT_SAID for _, filed in same):
            for _, filed in same:
                filed.side = spot.side
                filed.items += spot.items
            return 1
        if words & AGAIN or hedged:
            status = Status.UNCERTAIN if hedged else same[0][1].status
            first = same[0][1]
            for item in spot.items:
                item.used = True
            desk.file(
                Filed(
                    first.region,
                    first.finding,
                    spot.side,
                    status,
                    [*first.items, *spot.items],
                    step=first.step,
                    unsure="said with a doubt" if hedged else "",
                ),
                begins=True,
            )
            return 1
        if desk.correcting or words & {"definitely", "actually", "sorry", "so"}:
            for _, filed in same:
                filed.side = spot.side
                filed.items += spot.items
            for item in spot.items:
                item.used = True
            desk.correcting = 0
            desk.topic = (spot,)
            return 1
        return 0

    def blankets(self, clause: Clause, spots: list[Spot], *, filed: int) -> None:
        """A word for all that was not named; it is no look at a step."""
        desk = self.desk
        words = [
            item
            for item in clause.items
            if item.cue("blanket") and not item.left_out and not item.used
        ]
        bare = [
            item
            for item in clause.items
            if item.cue("nothing") and not item.left_out and not item.used
        ]
        if filed or spots or desk.pending:
            words = [
                item
                for item in words
                if item.word.startswith(
                    (
                        "rest",
                        "the rest",
                        "all the rest",
                        "otherwise",
                        "everything else",
                        "nothing else",
                    )
                )
            ]
        elif (bare and not words and any(item.name for item in clause.items)) or (
            bare
            and not words
            and self.names_only is False
            and len(clause.items) <= 3
            and desk.named
        ):
            words = bare if len(clause.items) <= 4 else []
        for item in words:
            item.used = True
            for name in desk.of_now:
                desk.sheet(name).blanket.append(item)

    def close(self, clause: Clause, spots: list[Spot], *, filed: bool, weighed: bool) -> None:
        """Remember the places that were spoken of."""
        desk = self.desk
        self._left_signs(clause, spots)
        clause_spots, desk.filed_spots = desk.filed_spots, []
        desk.listing = bool(spots) and not filed and _only_places(clause, spots)
        if spots and not filed:
            if not _related(desk.pending, spots):
                desk.pending = [*desk.pending, *spots]
            else:
                desk.pending = list(spots)
            desk.topic, desk.foreign = tuple(spots), False
        elif spots:
            near = clause_spots or _nearest(spots)
            desk.topic, desk.pending, desk.foreign = tuple(near), [], False
        elif filed and clause_spots and clause_spots[0].region in OF_ITSELF:
            desk.topic, desk.pending, desk.foreign = tuple(clause_spots), [], False
        elif filed:
            if desk.pending:
                desk.topic = tuple(desk.pending)
            desk.pending = []
        if clause.ended in (".", "?") and not spots and not filed and not weighed:
            desk.pending = []
        if desk.home and clause.ended in (".", "?"):
            # The next sentence is about the same region again.
            desk.topic, desk.pending = desk.home, []
        if self.saved is not None:
            desk.current = self.saved
            self.saved = None

    def _left_signs(self, clause: Clause, spots: list[Spot]) -> None:
        for item in clause.items:
            if (
                item.left_out in ("history", "hypothetical")
                and item.has("sign")
                and not item.has("sign", "normal")
            ):
                self.desk.last_sign = (item, tuple(spots))


def _only_places(clause: Clause, spots: list[Spot]) -> bool:
    own = {id(item) for spot in spots for item in spot.items}
    return all(
        id(item) in own or item.cue("resume") or item.word in ("and", "his", "her", "the", "or")
        for item in clause.items
    )


def words_refuse(clause: Clause) -> bool:
    """ "Elsie wouldn't have hers"."""
    words = set(clause.words)
    return bool(words & {"wouldnt", "refused", "spat"}) and bool(
        words & {"have", "take", "hers", "his", "it", "refused", "spat"}
    )


def _refused(clause: Clause) -> bool:
    return "alone" in clause.words or any(
        item.cue("not_done")
        or (item.cue("skip") and item.word.split()[0] in ("wouldnt", "wont", "couldnt"))
        for item in clause.items
    )


def _nearest(spots: list[Spot]) -> list[Spot]:
    group = [spots[-1]]
    for spot in reversed(spots[:-1]):
        if group[0].at - spot.end <= 2:
            group.insert(0, spot)
        else:
            break
    return group


def _related(pending: list[Spot], spots: list[Spot]) -> bool:
    families = (
        {"foot", "front_foot", "hind_foot", "front_leg", "hind_leg"},
        {"front_teeth", "cheek_teeth", "mouth"},
    )
    for old in pending:
        for new in spots:
            if old.region == new.region or any(
                old.region in family and new.region in family for family in families
            ):
                return True
    return False


def _limb(region: str) -> str:
    return region.partition("_")[0]


def _ends_with_name(before: Clause, clause: Clause) -> bool:
    return before.sentence == clause.sentence and bool(before.items and before.items[-1].name)


def _joined(clause: Clause) -> bool:
    named = [at for at, item in enumerate(clause.items) if item.name]
    between = clause.items[named[0] : named[-1]]
    return all(item.name or item.word in ("and", "for", "or", "the", "both") for item in between)


def _only_left_out(clause: Clause) -> bool:
    return all(item.left_out for item in clause.items)


def _is_bystander(clause: Clause, item: Item) -> bool:
    """ "her mate Nettle", "lives with Rex"."""
    at = clause.items.index(item)
    before = [one.word for one in clause.items[max(0, at - 2) : at]]
    return (
        bool(before)
        and before[-1] in ("with", "than", "from")
        and any(one.name for one in clause.items[:at])
    )


def _group_words(clause: Clause) -> str:
    words = clause.words
    for index, word in enumerate(words):
        if (
            word in GROUPS
            and index
            and (words[index - 1] in COUNTED or words[index - 1] in ("the", "all"))
        ):
            return "group: " + " ".join(words[max(0, index - 2) : index + 1])
    return ""


def _both_first(clause: Clause) -> bool:
    """ "both bright", "nobody's sneezing": of all that were named."""
    items = clause.items
    first = items[0].word if items else ""
    if first in ("nobody", "no one", "none of them", "everyone", "everybody", "they"):
        return True
    return first == "both" and len(items) > 1 and items[1].has("sign")


def _means_all(clause: Clause) -> bool:
    text = " " + " ".join(clause.words[:40]) + " "
    return text.endswith(" on both ") or any(f" {phrase} " in text for phrase in ALL_OF_THEM)
