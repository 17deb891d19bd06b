"""Places and sides said after the sign or the care they belong to, or put right."""

from cavyround.engines.spoken.choosing import OF_LEGS
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.sheets import Desk, Filed, Given
from cavyround.engines.spoken.spots import Spot
from cavyround.engines.spoken.steps import step_of
from cavyround.facts.observation import Side, Status
from cavyround.knowledge.book import Knowledge

AGAIN = frozenset({"too", "also", "well", "same", "maybe", "likewise", "another"})
SIDED_CARE = frozenset({"ear_wipe", "eye_wipe", "eye_drops", "foot_soak"})


class PuttingRight:
    """Puts places and sides on what was filed last."""

    def __init__(self, desk: Desk) -> None:
        """It works on the desk."""
        self.desk = desk

    def side_of_care(self, clause: Clause, sided: list[Spot]) -> None:
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

    def is_place_of_last(self, spots: list[Spot], book: Knowledge, words: set[str]) -> bool:
        """ "a bald patch, well two, one on each flank": the place follows the sign."""
        desk = self.desk
        spot = spots[-1]
        for _, filed in desk.last:
            if spot.loose and filed.finding in OF_LEGS:
                continue
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

    def again_or_put_right(self, clause: Clause, sided: list[Spot], words: set[str]) -> int:
        """The same again on another side, or the side put right."""
        desk = self.desk
        spot = sided[-1]
        if self._is_leg_of_last(spot):
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
        if all(filed.side in (Side.NOT_SAID, Side.ONE) for _, filed in same):
            _put_side(same, spot)
            return 1
        if words & AGAIN or hedged:
            self._file_again(same[0][1], spot, hedged=hedged)
            return 1
        if desk.correcting or words & {"definitely", "actually", "sorry", "so"}:
            _put_side(same, spot)
            for item in spot.items:
                item.used = True
            desk.correcting = 0
            desk.topic = (spot,)
            return 1
        return 0

    def _is_leg_of_last(self, spot: Spot) -> bool:
        """ "limping, left hind": the end of the body said after the sign."""
        desk = self.desk
        for _, filed in desk.last:
            if filed.homeless and spot.loose:
                filed.region = f"{spot.loose}_leg" if filed.region.endswith("_leg") else spot.region
                filed.side, filed.homeless = spot.side, False
                filed.items += spot.items
                desk.topic = (spot,)
                return True
        return False

    def _file_again(self, first: Filed, spot: Spot, *, hedged: bool) -> None:
        """ "left as well": the same sign on the other side."""
        for item in spot.items:
            item.used = True
        self.desk.file(
            Filed(
                first.region,
                first.finding,
                spot.side,
                Status.UNCERTAIN if hedged else first.status,
                [*first.items, *spot.items],
                step=first.step,
                unsure="said with a doubt" if hedged else "",
            ),
            begins=True,
        )


def _put_side(same: list[tuple[str, Filed]], spot: Spot) -> None:
    for _, filed in same:
        filed.side = spot.side
        filed.items += spot.items


def _refused(clause: Clause) -> bool:
    return "alone" in clause.words or any(
        item.cue("not_done")
        or (item.cue("skip") and item.word.split()[0] in ("wouldnt", "wont", "couldnt"))
        for item in clause.items
    )


def _limb(region: str) -> str:
    return region.partition("_")[0]
