"""Make the demo herd: an invented rescue with eighteen months of history, the same every time."""

from collections.abc import Callable
from datetime import datetime
from random import Random

from django.db import transaction

from cavyround.advice.weights import held_back
from cavyround.demo.ailments import tell_ailments
from cavyround.demo.animals import QUARANTINE_DAYS, Came, Cast
from cavyround.demo.breeding import tell_breeding
from cavyround.demo.checking import Table
from cavyround.demo.clock import Clock, Ids, moment_of
from cavyround.demo.closeups import draw_closeup
from cavyround.demo.condition import tell_condition
from cavyround.demo.contagion import tell_contagion
from cavyround.demo.doses_today import tell_doses_today
from cavyround.demo.drawing import draw_portrait
from cavyround.demo.endings import tell_endings
from cavyround.demo.gone import GONE
from cavyround.demo.happenings import moves
from cavyround.demo.house import build_house
from cavyround.demo.living import tell_living
from cavyround.demo.medicines import tell_medicines
from cavyround.demo.mistakes import tell_mistakes
from cavyround.demo.newcomers import NEWCOMERS
from cavyround.demo.old_residents import OLD_RESIDENTS
from cavyround.demo.outbreak import tell_outbreak
from cavyround.demo.people import add_people, add_vet_numbers, say_goodbye
from cavyround.demo.residents import RESIDENTS
from cavyround.demo.routine import ordinary_weeks
from cavyround.demo.story import Closeup, Story
from cavyround.demo.young import YOUNG
from cavyround.record.animals import Leaving, add_animal, arrive, choose_face, depart, move
from cavyround.record.models import Check
from cavyround.record.photos import Snapshot, keep_photo

RESCUE = "Hollow Hedge Cavies"
SEED = 20260303
EVERYONE: tuple[Cast, ...] = (*OLD_RESIDENTS, *RESIDENTS, *YOUNG, *NEWCOMERS, *GONE)
ARRIVES, LEAVES, MOVES_IN = 495, 1140, 780


def make_demo_herd(as_of: datetime | None, say: Callable[[str], None]) -> None:
    """Make the whole herd in one transaction: all of it is there, or nothing.

    Args:
        as_of: the moment the history runs up to; None for now. A naive moment is in the
            rescue's zone, and a day alone is taken as that day's morning.
        say: told how far it is.
    """
    story = planned(Clock(moment_of(as_of)))
    say(f"{RESCUE}, an invented rescue, as of {story.clock.as_of:%d %B %Y, %H:%M %Z}")
    with transaction.atomic(), held_back(story.clock.as_of):
        story.people.update(add_people())
        add_vet_numbers()
        story.pens.update(build_house())
        story.tell(say)
        say_goodbye(story.people)
    say(f"{len(story.animals)} animals, {len(story.checks)} checks.")


def planned(clock: Clock) -> Story:
    """The whole history as a plan; nothing is written yet."""
    story = Story(
        clock=clock,
        table=Table(clock, Ids(Random(SEED)), Random(SEED + 1)),
        cast={cast.key: cast for cast in EVERYONE},
        keep_closeup=_keep_closeup,
    )
    _comings_and_goings(story)
    tell_ailments(story)
    tell_endings(story)
    tell_contagion(story)
    tell_breeding(story)
    tell_living(story)
    tell_mistakes(story)
    ordinary_weeks(story)
    tell_condition(story)
    tell_doses_today(story, tell_medicines(story))
    tell_outbreak(story)
    return story


def _keep_closeup(story: Story, key: str, closeup: Closeup, check: Check, moment: datetime) -> None:
    drawing = draw_closeup(closeup.kind, story.cast[key].look, SEED)
    photo_id = story.table.ids.at(moment)
    snapshot = Snapshot(file=drawing, caption=closeup.caption, id=photo_id, drawn=True)
    keep_photo(check.started_by, story.animals[key], snapshot, moment, check=check)


def _comings_and_goings(story: Story) -> None:
    for number, cast in enumerate(story.cast.values()):
        story.on(cast.came.ago, ARRIVES, _coming(story, cast, SEED + number))
        _settling(story, cast, cast.came)
        if cast.left is not None:
            story.on(cast.left.ago, LEAVES, _leaving(story, cast))
        if cast.back is not None:
            story.on(cast.back.ago, ARRIVES, _coming_back(story, cast, cast.back))
            _settling(story, cast, cast.back)
    _fostering(story)


def _settling(story: Story, cast: Cast, came: Came) -> None:
    """Home from quarantine after three weeks, unless a story moves it itself."""
    moved_by_story = ("fern", "cowslip", "crumpet", "thistle")
    over = came.ago - QUARANTINE_DAYS
    if over > 0 and came.pen != cast.home and cast.key not in moved_by_story:
        moves(story, cast.key, over, cast.home, "quarantine over", MOVES_IN)


def _coming(story: Story, cast: Cast, seed: int) -> Callable[[datetime], None]:
    def act(moment: datetime) -> None:
        lead = story.people["lead"]
        animal = add_animal(
            lead,
            cast.details(story.clock),
            cast.came.as_coming(story.clock),
            moment,
            pen=story.pens[cast.came.pen],
        )
        story.animals[cast.key] = animal
        drawing = draw_portrait(cast.look, seed)
        snapshot = Snapshot(
            file=drawing, caption=cast.name, id=story.table.ids.at(moment), drawn=True
        )
        choose_face(animal, keep_photo(lead, animal, snapshot, moment))

    return act


def _coming_back(story: Story, cast: Cast, came: Came) -> Callable[[datetime], None]:
    def act(moment: datetime) -> None:
        lead, animal = story.people["lead"], story.animals[cast.key]
        arrive(lead, animal, came.as_coming(story.clock), moment)
        move(lead, animal, story.pens[came.pen], moment, why="came back")

    return act


def _leaving(story: Story, cast: Cast) -> Callable[[datetime], None]:
    def act(moment: datetime) -> None:
        assert cast.left is not None  # noqa: S101 - only planned for those that left
        leaving = Leaving(
            on=story.clock.day(cast.left.ago),
            how=cast.left.how,
            went_to=cast.left.to,
            note=cast.left.note,
        )
        depart(story.people["lead"], story.animals[cast.key], leaving, moment)

    return act


def _fostering(story: Story) -> None:
    """Clementine went to a foster home; she is still the rescue's, and still due."""

    def act(moment: datetime) -> None:
        lead, animal = story.people["lead"], story.animals["clementine"]
        leaving = Leaving(
            on=story.clock.day(92),
            how="fostered",
            went_to="the Marlows",
            note="Company for their old sow.",
        )
        depart(lead, animal, leaving, moment)
        move(lead, animal, story.pens["foster"], moment, why="fostered")

    story.on(92, LEAVES, act)
