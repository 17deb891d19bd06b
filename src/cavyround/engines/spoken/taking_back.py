"""What is taken back of what was said before: put right, gone, in doubt, not of this one."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk, Filed
from cavyround.engines.spoken.spots import Spot
from cavyround.engines.spoken.steps import step_of
from cavyround.facts.observation import Side, Status
from cavyround.knowledge.book import Knowledge

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
# A clause that only sorts out has no more words.
SHORT = 6


class TakingBack:
    """Changes what was filed last."""

    def __init__(self, desk: Desk) -> None:
        """It works on the desk."""
        self.desk = desk

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

    def sorts_out(self, clause: Clause, items: list[Item], spots: list[Spot]) -> bool:
        """ "Not from Rex", "Sadie I don't know": what was said of several, sorted out by name."""
        desk = self.desk
        names = [item.name for item in items if item.name]
        if len(names) == 1 and _refuses(clause) and desk.sheet(names[0]).care:
            refused = desk.sheet(names[0]).care[-1]
            refused.status, refused.value, refused.unit = "not_done", None, None
            return True
        if len(names) != 1 or spots or desk.last_sign is None or any(item.number for item in items):
            return False
        denied = any(item.cue("no") or item.word in ("isnt", "wasnt") for item in items)
        doubt = any(item.cue("hedge") for item in items)
        sign, _ = desk.last_sign
        for filed in desk.sheet(names[0]).findings:
            if filed.finding == "normal":
                # "Tot's nails are trimmed, Tater's aren't": no word of what was as it should be.
                continue
            if sign in filed.items and (denied or doubt) and len(clause.words) <= SHORT:
                filed.status = Status.ABSENT if denied and not doubt else Status.UNCERTAIN
                filed.items += [item for item in items if item.cue("no", "hedge")]
                return True
        return False

    def is_gone(self, items: list[Item], spots: list[Spot], book: Knowledge) -> bool:
        """ "all gone", "none today": the sign spoken of last is not there any more."""
        # "None of them moving" says something else of those that are there.
        ends = [
            item
            for at, item in enumerate(items)
            if item.cue("no_after") and not (item.cue("only_last") and items[at + 1 :])
        ]
        if not ends or self.desk.last_sign is None:
            return False
        if any(item.number for item in items):
            return False
        if spots and not any(item.word in ("all", "that") for item in items):
            return False
        if all(item.word in ("nothing", "not today", "not now") for item in ends):
            return False
        sign, sign_spots = self.desk.last_sign
        now = self.desk.of_now
        fresh = [filed for name, filed in self.desk.last if sign in filed.items and name in now]
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

    def lacks(self, clause: Clause, items: list[Item], spots: list[Spot], book: Knowledge) -> bool:
        """ "hasn't got any", "couldn't see a single one": what was spoken of is not on this one."""
        words = set(clause.words)
        if any(item.cue("only_last") for item in items[:-1]):
            return False  # "not one of them dead" says something of those that are there
        denied = any(item.cue("no", "skip") and item.word not in ("no", "left") for item in items)
        if not denied or not words & {"any", "one", "ones"} or spots or self.desk.last_sign is None:
            return False
        if any(item.has("sign") or item.number for item in items):
            return False
        sign, _ = self.desk.last_sign
        senses = [one.entry for one in sign.of("sign")]
        if not any(sense.form == "thing" and sense.finding != "normal" for sense in senses):
            return False
        self._file_gone(sign, (), [item for item in items if item.cue("no", "skip")], book)
        return True

    def not_its_own(self, clause: Clause) -> None:
        """ "there's blood but it's mine": nothing of the animal."""
        if not any(item.left_out and item.word.endswith("mine") for item in clause.items):
            return
        for name, filed in list(self.desk.last):
            if filed.finding in ("blood", "wound", "bite"):
                self.desk.sheet(name).drop(filed)

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

    def excuses(self, clause: Clause) -> bool:
        """ "but she's just had a run": fast breath then says little."""
        words = clause.words
        if "just" in words and set(words) & EXCUSES:
            for name in self.desk.of_now:
                for filed in self.desk.sheet(name).findings:
                    if filed.finding == "fast" and filed.status is Status.PRESENT:
                        filed.status, filed.unsure = Status.UNCERTAIN, "after a run"
            return True
        return False

    def doubts(self, items: list[Item]) -> bool:
        """ "not sure": what was just said may be there."""
        if any(item.has("sign") and item.used for item in items):
            return False
        if not any(
            item.cue("hedge")
            and (item.word in DOUBT or item.word.split()[0] in ("might", "could", "may"))
            for item in items
        ):
            return False
        for _, filed in self.desk.last:
            if filed.finding not in ("normal", "weight", "bright"):
                filed.status, filed.unsure = Status.UNCERTAIN, "said with a doubt"
        return True


def _refuses(clause: Clause) -> bool:
    """ "Elsie wouldn't have hers"."""
    words = set(clause.words)
    return bool(words & {"wouldnt", "refused", "spat"}) and bool(
        words & {"have", "take", "hers", "his", "it", "refused", "spat"}
    )
