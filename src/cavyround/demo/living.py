"""Bonds, a quarrel, a birth that was timed, pups counted, one that lives alone, two that meet."""

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from cavyround.demo.breeding import PUPS
from cavyround.demo.story import Story
from cavyround.demo.young import BIRTH_AGO
from cavyround.record.alone import AloneSaid, keep_alone
from cavyround.record.labour import OverSaid, begin_labour, end_labour, see
from cavyround.record.living import (
    Between,
    add_pups,
    begin_introduction,
    keep_pups_felt,
    keep_tie,
)

if TYPE_CHECKING:
    from cavyround.record.models import Litter

EVENING, IN_THE_NIGHT = 1150, 200
# So many minutes before the birth was over she began to strain, and each pup came.
STRAINED, PUPS_CAME = 58, (49, 38, 30, 17)
BONDED = (("bramley", "tansy"), ("saffron", "sorrel"), ("myrtle", "fern"), ("barnaby", "wilf"))
# Two, how many days ago, what it was, and the words.
QUARRELS = (
    ("fennel", "teasel", 40, "quarrel", "chased off the hay twice, teeth shown, no bite"),
    ("juniper", "mallow", 130, "blood", "bite at the rump, parted at once"),
)
INTRODUCED_AGO = 2


def tell_living(story: Story) -> None:
    """All of them."""
    for one, other in BONDED:
        _tie(story, one, other, 15, "bonded", "sleep in one heap")
    for one, other, ago, kind, words in QUARRELS:
        _tie(story, one, other, ago, kind, words)
    _birth(story)
    _counted(story)
    _alone(story)
    _introduction(story)


def _tie(story: Story, one: str, other: str, ago: int, kind: str, words: str) -> None:
    def act(moment: datetime) -> None:
        told = Between(kind=kind, on=story.clock.day(ago), words=words)
        keep_tie(story.people["lead"], story.animals[one], story.animals[other], told, moment)

    story.on(ago, EVENING, act)


def _birth(story: Story) -> None:
    """Cowslip's labour was timed in the night; the pups got their pages in the evening."""

    def in_the_night(moment: datetime) -> None:
        lead = story.people["lead"]
        begun = moment - timedelta(minutes=STRAINED)
        labour, _ = begin_labour(lead, story.animals["cowslip"], begun, moment)
        for ago in PUPS_CAME:
            see(lead, labour, "pup_alive", moment - timedelta(minutes=ago), moment)
        over = OverSaid(how="born", at=moment, alive=len(PUPS), dead=0, words="all sucking")
        litters.append(end_labour(lead, labour, over, moment).litter)

    def in_the_evening(moment: datetime) -> None:
        (litter,) = litters
        if litter is not None:
            pups = [story.animals[pup] for pup in PUPS]
            add_pups(story.people["lead"], litter, pups, moment)

    litters: list[Litter | None] = []
    story.on(BIRTH_AGO, IN_THE_NIGHT, in_the_night)
    story.on(BIRTH_AGO, EVENING, in_the_evening)


def _alone(story: Story) -> None:
    """Crumpet was taken for a sow; nobody came with him that he may be with."""

    def act(moment: datetime) -> None:
        said = AloneSaid(because="quarantine", on=story.clock.day(8))
        keep_alone(story.people["lead"], story.animals["crumpet"], said, moment)

    story.on(8, EVENING, act)


def _counted(story: Story) -> None:
    """The vet felt two or three in Fern, moving."""

    def act(moment: datetime) -> None:
        keep_pups_felt(
            story.people["lead"],
            story.animals["fern"],
            story.clock.day(20),
            moment,
            pups=3,
            said_by="the vet",
        )

    story.on(20, EVENING, act)


def _introduction(story: Story) -> None:
    """Two boars who have long been castrated meet on neutral ground."""

    def act(moment: datetime) -> None:
        animals = [story.animals[key] for key in ("otis", "burdock")]
        begin_introduction(
            story.people["lead"], animals, moment, words="Meadow run, both calm so far"
        )

    story.on(INTRODUCED_AGO, 700, act)
