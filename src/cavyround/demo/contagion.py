"""Two things that went or could have gone round: ringworm in one pen, and lice brought in."""

from typing import Any

from cavyround.demo.ailments import seen
from cavyround.demo.happenings import asks, moves
from cavyround.demo.story import Again, Closeup, Story


def tell_contagion(story: Story) -> None:
    """Both."""
    _ringworm(story)
    _lice(story)


def _ringworm(story: Story) -> None:
    """Juniper's nose two months ago, and the two that live with her."""
    places: dict[str, tuple[int, str, str, str, dict[str, Any]]] = {
        "juniper": (
            62,
            "nose",
            "bald_patch",
            "M",
            {"kinds": ["scaly"], "value": "8", "unit": "mm"},
        ),
        "nutmeg": (59, "ear", "bald_patch", "R", {"kinds": ["scaly"], "value": "5", "unit": "mm"}),
        "cob": (57, "face", "flaky", "L", {"grade": "moderate"}),
    }
    cream = [{"care": "cream", "product": "as the vet said", "detail": "gloves"}]
    for key, (began, region, finding, side, more) in places.items():
        where = (region, finding, side)
        first = story.visit(key, began, found=[seen(region, finding, side, **more)])
        first.again.append(Again(days=5, words="is the bald place smaller?", where=where))
        if key == "juniper":
            first.photos.append(Closeup("bald_nose", "Bald, scaly patch on the nose"))
            first.sitting.notes.append("Gloves on; hands washed twice. Told the others.")
        else:
            story.visit(key, 61, "quick", told=[_with_juniper(story)])
        for ago, days in ((began - 5, 7), (began - 12, 9)):
            healing = seen(region, finding, side, grade="healing")
            look = story.visit(key, ago, "recheck", found=[healing], care=cream)
            look.settles = "better"
            look.again.append(Again(days=days, words="is the hair coming back?", where=where))
        gone = seen(region, finding, side, status="absent")
        story.visit(key, began - 21, "recheck", found=[gone]).settles = "gone"
        moves(story, key, 62 if key == "juniper" else 61, "isolation", "ringworm")
        moves(story, key, 27, "chicory", "two cultures without growth")
    asks(
        story,
        "juniper",
        62,
        "A bald, scaly patch of 8 mm on Juniper's nose, new since last week. She lives with Nutmeg "
        "and Cob. Isolate all three?",
        "Yes, all three, own gloves and brushes. I took hair for a culture. Treat as ringworm "
        "until we know; whoever handled her should look at their own skin.",
        61,
    )
    asks(
        story,
        "juniper",
        34,
        "Hair has grown back on all three. When may they go home to their pen?",
        "The last two cultures of all three are without growth, and it is five weeks since they "
        "were first treated. It is over. Home from tomorrow, into a cleaned pen.",
        28,
    )


def _with_juniper(story: Story) -> dict[str, str]:
    return {
        "what": "contact_ringworm",
        "on": story.clock.day(62).isoformat(),
        "note": "lives with Juniper",
    }


def _lice(story: Story) -> None:
    """Thistle brought lice; he is in isolation until the second treatment has worked."""
    itchy = [
        seen("coat", "lice", kinds=["slender"]),
        seen("coat", "nits", grade="moderate"),
        seen("skin", "scratching", grade="slight"),
    ]
    where = ("coat", "lice", "N")
    story.visit(
        "thistle", 10, found=itchy, notes=["Running lice behind both ears and on the rump."]
    )
    story.visits[("thistle", 10)].again.append(
        Again(days=2, words="lice after treatment?", where=where)
    )
    moves(story, "thistle", 10, "isolation", "lice")
    asks(
        story,
        "thistle",
        10,
        "Slender lice and nits on Thistle, in quarantine since two weeks, nobody near him.",
        "First treatment given today; the second in two weeks. Wash the fleece hot, empty the pen.",
        9,
    )
    drops = [{"care": "spot_on", "product": "given by the vet", "detail": "first of two"}]
    for ago, grade in ((8, "healing"), (5, "healing"), (1, "healing")):
        found = [seen("coat", "lice", status="absent"), seen("coat", "nits", grade=grade)]
        look = story.visit("thistle", ago, found=found, care=drops if ago == 8 else [])
        if ago == 8:
            look.settles = "better"
        if ago == 1:
            look.again.append(Again(days=5, words="second treatment at the vet's; comb for lice"))
