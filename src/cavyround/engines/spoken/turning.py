"""Turns of speech: whose findings follow, as the speaker goes from one animal to the next."""

from dataclasses import replace

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.whom import (
    are_joined,
    begins_with_all,
    ends_with_name,
    group_words,
    is_bystander,
    is_left_out,
    means_all,
    only_names,
)


class Turning:
    """Keeps the desk on the right animal."""

    def __init__(self, desk: Desk) -> None:
        """It works on the desk."""
        self.desk = desk
        self.names_only = False
        self.saved: list[str] | None = None

    def begin(self, clause: Clause, clauses: list[Clause], index: int) -> None:
        """Turn to the animals that a clause names."""
        desk = self.desk
        self.saved = None
        names = [item.name for item in clause.items if item.name and not is_bystander(clause, item)]
        if (clause.cued("correction") and not is_left_out(clause)) or _takes_back(clauses, index):
            desk.correcting = 4
        elif desk.correcting:
            desk.correcting -= 1
        if not names and any(item.number or item.has("sign") for item in clause.items):
            self.names_only = False
        if names:
            self._turn_to(clause, clauses, index, list(dict.fromkeys(names)))
        elif not desk.named and not desk.current and group_words(clause):
            desk.group = group_words(clause)
            desk.current = [desk.group]
        elif len(desk.named) > 1 and (means_all(clause) or begins_with_all(clause)):
            self.saved = list(desk.current)
            desk.current = list(desk.named)
        elif desk.group and means_all(clause):
            desk.current = [desk.group]

    def _turn_to(self, clause: Clause, clauses: list[Clause], index: int, names: list[str]) -> None:
        desk = self.desk
        alone = only_names(clause)
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
        elif alone and index and ends_with_name(clauses[index - 1], clause):
            self._share_care(names)
            desk.current = list(dict.fromkeys([*desk.current, *names]))
        else:
            self._leave_behind(names)
            if alone and len(names) > 1 and not are_joined(clause):
                names = names[-1:]
            desk.current = names
        for name in names:
            if name not in desk.named:
                desk.named.append(name)
            desk.sheet(name)
        self.names_only = alone

    def _share_care(self, names: list[str]) -> None:
        """ "for Nora, Dot and Elsie": the care goes to all of them."""
        desk = self.desk
        for name in names:
            for _, given in list(desk.last_care):
                if not any(one.care == given.care for one in desk.sheet(name).care):
                    desk.sheet(name).care.append(replace(given))

    def _leave_behind(self, names: list[str]) -> None:
        """Places that were still waiting are the former animal's."""
        if names == self.desk.current:
            return
        self.desk.pending = []
        # What was said before anybody was named is this animal's.
        self.desk.foreign = bool(self.desk.current)

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

    def end(self) -> None:
        """Turn back to the one animal, where a clause spoke of all."""
        if self.saved is not None:
            self.desk.current = self.saved
            self.saved = None


def _takes_back(clauses: list[Clause], index: int) -> bool:
    """ "The right hind's dragging, no, it's the left": a bare no, and what it is instead."""
    if clauses[index].words != ["no"] or index + 1 >= len(clauses):
        return False
    following = clauses[index + 1]
    return (
        following.sentence == clauses[index].sentence
        and following.words[:1] in (["it"], ["its"], ["that"], ["the"])
        and any(item.has("side") for item in following.items)
    )
