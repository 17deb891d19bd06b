"""The ringworm in Chicory as an outbreak: opened, three cases, cleaned, watched, closed."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from cavyround.advice.book import book
from cavyround.advice.outbreaks import outbreak_now
from cavyround.demo.story import Story
from cavyround.record.contagion import (
    CaseSaid,
    clean_pen,
    close_outbreak,
    open_outbreak,
    say_case,
    say_done,
)

if TYPE_CHECKING:
    from cavyround.record.models import Outbreak

KEYS = ("juniper", "nutmeg", "cob")
# First signs so many days ago, and the day the culture was read.
SIGNS = {"juniper": 62, "nutmeg": 59, "cob": 57}
FOUND, CULTURES, OVER, CLOSED = 62, 52, 28, 24
EVENING, AFTER_THE_VET = 1150, 1190
WHY = "bald, scaly place, new since last week"


def tell_outbreak(story: Story) -> None:
    """From Juniper's nose to the closing."""
    opened: list[Outbreak] = []
    _cared_for_last(story)

    def begin(moment: datetime) -> None:
        kind = book().contagion.kind("ringworm")
        definition = f"Suspected: {kind.suspected} Confirmed: {kind.confirmed}" if kind else ""
        opened.append(
            open_outbreak(
                story.people["lead"],
                "ringworm",
                "Ringworm in Chicory",
                definition,
                story.animals["juniper"],
                CaseSaid(signs_at=moment, sure="suspected", why=f"nose: {WHY}"),
                moment,
            )
        )

    story.on(FOUND, 805, begin)
    for key, ago in SIGNS.items():
        if key != "juniper":
            _says_case(story, opened, key, ago, sure="suspected", why=WHY)
        _says_case(story, opened, key, CULTURES, sure="confirmed", why="culture grew ringworm")
        _says_case(
            story, opened, key, OVER, sure="confirmed", why="two cultures without growth", over=True
        )
    _ends(story, opened)


def _cared_for_last(story: Story) -> None:
    """As long as they were catching, their checks came at the end of the day."""
    for (key, ago), visit in story.visits.items():
        if key in KEYS and OVER <= ago < FOUND:
            visit.minute = EVENING + 10 * KEYS.index(key)


def _says_case(
    story: Story,
    opened: list["Outbreak"],
    key: str,
    ago: int,
    *,
    sure: str,
    why: str,
    over: bool = False,
) -> None:
    def act(moment: datetime) -> None:
        signs = story.clock.at(SIGNS[key], 805)
        said = CaseSaid(signs_at=signs, sure=sure, why=why, over_at=moment if over else None)
        say_case(story.people["lead"], opened[0], story.animals[key], said, moment)

    # Over before they go home, after the vet has said so.
    story.on(ago, AFTER_THE_VET if over else 1000, act)


def _ends(story: Story, opened: list["Outbreak"]) -> None:
    def clean(moment: datetime) -> None:
        how = "hair and dust out, disinfectant wet for ten minutes, twice; fleece at 60 °C"
        for pen in ("chicory", "isolation"):
            clean_pen(story.people["carer"], story.pens[pen], how, moment)

    def says(moment: datetime) -> None:
        done: Iterable[tuple[str, str]] = (
            ("treated", "Course of all three finished, cultures clear; Dr Pell."),
            ("cleaned", "Chicory, isolation, brushes and boxes, as the label says."),
            ("told", "All carers, and the two families that took animals since."),
        )
        for code, words in done:
            say_done(story.people["lead"], opened[0], code, words, moment)

    def close(moment: datetime) -> None:
        stands = outbreak_now(opened[0], moment + timedelta(seconds=1)).stands
        unmet = [one.code for one in stands.conditions if not one.met]
        why = "Dr Pell agrees: everybody was looked at in their checks." if unmet else ""
        close_outbreak(story.people["lead"], opened[0], moment, unmet=unmet, why=why)

    story.on(61, 900, clean)
    story.on(OVER - 1, 770, clean)
    story.on(CLOSED + 1, 1090, says)
    story.on(CLOSED, 1190, close)
