"""The last months of two old animals."""

from typing import Any

from cavyround.demo.ailments import seen
from cavyround.demo.happenings import asks
from cavyround.demo.story import Again, Story


def tell_endings(story: Story) -> None:
    """Both."""
    _gland_lump(story)
    _old_heart(story)


def _gland_lump(story: Story) -> None:
    """Dulcie's last months."""
    where = ("nipple", "lump", "R")

    def lump(size: str, **more: Any) -> list[dict[str, Any]]:
        return [seen("nipple", "lump", "R", value=size, unit="mm", kinds=["firm"], **more)]

    story.visit("dulcie", 152, found=lump("9")).again.append(
        Again(days=7, words="measure the lump at the right nipple", until_gone=False, where=where)
    )
    asks(
        story,
        "dulcie",
        152,
        "A firm lump behind Dulcie's right nipple, 9 mm. She is about six. What would you do?",
        "Felt it; it sits in the gland. At her age and with that heart I would not operate. "
        "Measure it weekly; when it troubles her we talk again.",
        149,
    )
    for ago, size in ((145, "10"), (131, "13"), (117, "16"), (103, "21")):
        look = story.visit("dulcie", ago, found=lump(size, grade="worse"))
        look.settles = "worse"
        look.again.append(
            Again(days=14, words="measure the lump again", until_gone=False, where=where)
        )
    last = story.visit(
        "dulcie", 96, found=[*lump("24", grade="worse"), seen("nipple", "sore", "R")]
    )
    last.settles = "worse"
    asks(
        story,
        "dulcie",
        96,
        "The lump has broken open and she sits hunched. Can you come?",
        "I come tomorrow morning. It is time.",
        96,
    )


def _old_heart(story: Story) -> None:
    """Gaffer's heart."""
    hoot = [seen("breathing", "noisy", kinds=["hoot"])]
    known = [
        {"what": "heart_known", "on": story.clock.day(343).isoformat(), "note": "heard by vet"}
    ]
    story.visit("gaffer", 345, found=hoot).again.append(
        Again(days=3, words="does he still hoot?", where=("breathing", "noisy", "N"))
    )
    asks(
        story,
        "gaffer",
        345,
        "Gaffer hoots when he breathes in, eats well.",
        "A murmur. He is old; we start tablets. Any effort in breathing: ring me, day or night.",
        343,
    )
    calm = [seen("breathing", "noisy", grade="healing", kinds=["hoot"])]
    story.visit("gaffer", 342, "recheck", found=calm, told=known).settles = "better"
    story.visit(
        "gaffer",
        302,
        found=[seen("breathing", "laboured")],
        notes=["Stopped, rang the vet at once. Seen within the hour; oxygen, home again at night."],
        skipped={"nipples": "not turned on his back", "genitals": "not turned on his back"},
    )
