"""Bonded pairs, a quarrel, a litter, pups counted by the vet, and an introduction under way."""

from datetime import datetime

from cavyround.demo.breeding import PUPS
from cavyround.demo.story import Story
from cavyround.demo.young import BIRTH_AGO
from cavyround.record.living import (
    Between,
    Born,
    begin_introduction,
    keep_litter,
    keep_pups_felt,
    keep_tie,
)

EVENING = 1150
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
    _litter(story)
    _counted(story)
    _introduction(story)


def _tie(story: Story, one: str, other: str, ago: int, kind: str, words: str) -> None:
    def act(moment: datetime) -> None:
        told = Between(kind=kind, on=story.clock.day(ago), words=words)
        keep_tie(story.people["lead"], story.animals[one], story.animals[other], told, moment)

    story.on(ago, EVENING, act)


def _litter(story: Story) -> None:
    def act(moment: datetime) -> None:
        born = Born(on=story.clock.day(BIRTH_AGO), alive=len(PUPS), dead=0, note="all sucking")
        pups = [story.animals[pup] for pup in PUPS]
        keep_litter(story.people["lead"], story.animals["cowslip"], born, moment, pups=pups)

    story.on(BIRTH_AGO, EVENING, act)


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
