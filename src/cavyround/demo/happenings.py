"""What happens between the checks: moves, statements, questions to the vet, harmless marks."""

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from cavyround.advice.giving import advise
from cavyround.demo.story import Story
from cavyround.record.animals import move, state
from cavyround.record.contagion import end_quarantine
from cavyround.record.promises import Judged, answer_as_vet, ask_vet, mark_standing

if TYPE_CHECKING:
    from cavyround.record.models import VetQuestion

AFTER_THE_ROUND, AT_NOON = 1080, 720


def moves(story: Story, key: str, ago: int, pen: str, why: str, minute: int = 800) -> None:
    """An animal is put into another pen."""

    def act(moment: datetime) -> None:
        lead, animal = story.people["lead"], story.animals[key]
        if why.startswith("quarantine over"):
            words = "three weeks without signs, skin looked at twice; Dr Pell agrees"
            end_quarantine(lead, animal, moment, why=words)
        move(lead, animal, story.pens[pen], moment, why=why)

    story.on(ago, minute, act)


def states(
    story: Story, key: str, ago: int, fields: dict[str, Any], reason: str, minute: int = 790
) -> None:
    """The lead states something new of an animal."""

    def act(moment: datetime) -> None:
        state(story.people["lead"], story.animals[key], fields, reason, moment)

    story.on(ago, minute, act)


def asks(story: Story, key: str, ago: int, question: str, answer: str, answered: int) -> None:
    """A question to the vet after that day's check, and the answer, perhaps on another day."""
    asked: list[VetQuestion] = []

    def ask(moment: datetime) -> None:
        check = story.checks.get((key, ago))
        person = check.started_by if check else story.people["lead"]
        asked.append(ask_vet(person, story.animals[key], question, moment, check=check))

    def reply(moment: datetime) -> None:
        answer_as_vet(story.people["vet"], asked[0], answer, moment)

    story.on(ago, AFTER_THE_ROUND, ask)
    story.on(answered, AFTER_THE_ROUND + 45, reply)


def judged_harmless(story: Story, key: str, ago: int, judged: Judged) -> None:
    """Something is judged harmless; from then on it is asked for at each check."""

    def act(moment: datetime) -> None:
        animal = story.animals[key]
        row = mark_standing(story.people["lead"], animal, judged, moment)
        story.table.marks.setdefault(animal.pk, []).append(row)

    story.on(ago, AFTER_THE_ROUND + 60, act)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A mistaken entry: the first touch of a kind in one check, and when the lead noticed."""

    key: str
    ago: int
    kind: str
    noticed: int


def corrects(story: Story, slip: Slip, reason: str, data: dict[str, Any] | None) -> None:
    """The lead corrects an entry, or strikes it out where there is no ``data``."""

    def act(moment: datetime) -> None:
        check, lead = story.checks[(slip.key, slip.ago)], story.people["lead"]
        entries = story.table.held[check.pk]
        entry = next(one for one, touch in entries if touch["kind"] == slip.kind)
        story.table.correct(lead, check, entry, reason, data, moment)
        advise(lead, check, moment)

    story.on(slip.noticed, AT_NOON, act)
