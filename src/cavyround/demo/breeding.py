"""The litter, the expectant sow, and three sisters of whom one was a brother."""

from cavyround.demo.ailments import seen
from cavyround.demo.happenings import asks, moves, states
from cavyround.demo.story import Again, Story
from cavyround.demo.young import BIRTH_AGO

# Longer than the longest term; the last day a sow could have been mated lies before she came.
TERM_OVER = 77
PUPS = ("acorn", "conker", "hazel", "catkin")


def tell_breeding(story: Story) -> None:
    """All three, and the sows of whom it is known that they are not expectant."""
    _litter(story)
    _expectant(story)
    _sisters(story)
    _not_expectant(story)


def _litter(story: Story) -> None:
    """Cowslip came pregnant and had four."""
    day = story.clock.day
    moves(story, "cowslip", 49, "nest", "quarantine over; quiet place for the birth")
    due = {"pregnant": "yes", "due_from": day(BIRTH_AGO + 3)}
    states(story, "cowslip", 50, due, "the vet felt pups; three or four")
    born = [{"what": "gave_birth", "on": day(BIRTH_AGO).isoformat(), "note": "four, all sucking"}]
    story.visit("cowslip", BIRTH_AGO, told=born, notes=["Born in the night. Afterbirths eaten."])
    states(
        story, "cowslip", BIRTH_AGO, {"pregnant": "no", "due_from": None}, "has given birth", 560
    )
    for pup in PUPS:
        story.visit(pup, BIRTH_AGO, "arrival")
    for pup in ("acorn", "conker"):
        story.visit(pup, 3, notes=["Sexed again, two people: boar."]).again.append(
            Again(days=6, words="three weeks old: away from mother and sisters")
        )
    story.visit(
        "hazel",
        0,
        put_down="struggled and squeaked; back to Cowslip, try again after the feed",
    )


def _expectant(story: Story) -> None:
    """Fern lived with a boar until the day she came."""
    day = story.clock.day
    company = [
        {"what": "other_sex_company", "on": day(45).isoformat(), "note": "entire boar until today"}
    ]
    story.visit("fern", 45, "arrival", told=company)
    moves(story, "fern", 24, "hayloft", "quarantine over; with Myrtle beside her")
    story.visit("fern", 21, found=[seen("belly", "moving_pups", status="uncertain")])
    asks(
        story,
        "fern",
        21,
        "I think I felt something move in Fern's belly. How far is she?",
        "Two or three pups, about six weeks. Expect them from next week on, at the latest four "
        "weeks from now. No lifting for show, no vet trips without need.",
        20,
    )
    states(story, "fern", 20, {"pregnant": "yes", "due_from": day(-8)}, "the vet felt pups", 1135)
    story.visit("fern", 0).again.append(
        Again(days=5, words="open between the pelvic bones? quiet place ready?")
    )


def _sisters(story: Story) -> None:
    """Crumpet turned out to be a boar on the second day."""
    day = story.clock.day
    nails = [{"care": "nail_trim", "status": "partly", "detail": "front feet; left hind tomorrow"}]
    story.visit("rhubarb", 9, "arrival", found=[seen("nails", "overgrown", "B")], care=nails)
    story.visit(
        "crumpet",
        8,
        by="lead",
        found=[seen("penis", "sex_male")],
        told=[_company(day(8).isoformat(), "with two sows until today")],
        notes=["Penis pressed out, testicles felt. Jory agrees: a boar."],
    )
    states(
        story,
        "crumpet",
        8,
        {"sex": "boar", "sex_sure": "two_people"},
        "came as one of “three sisters”; found to be a boar, two people agree",
    )
    moves(story, "crumpet", 8, "q2", "a boar: away from the sows")
    for sow in ("biscuit", "rhubarb"):
        story.visit(sow, 8, told=[_company(day(8).isoformat(), "with Crumpet until today")])
        states(
            story,
            sow,
            8,
            {"pregnant": "possible", "sex_sure": "two_people"},
            "lived with Crumpet, a boar, until today; look for pups until ten weeks from now",
        )
    story.visit("biscuit", 3, notes=["Nothing felt; not pressed."]).again.append(
        Again(days=8, words="weigh against last week: pups?")
    )
    hind = [{"care": "nail_trim", "side": "B", "detail": "hind feet"}]
    story.visit("rhubarb", 6, care=hind)


def _company(on: str, note: str) -> dict[str, str]:
    return {"what": "other_sex_company", "on": on, "note": note}


def _not_expectant(story: Story) -> None:
    """After ten weeks among sows and neutered boars a sow is known not to be pregnant."""
    for cast in story.cast.values():
        stayed = cast.came.ago - (cast.left.ago if cast.left else 0)
        if cast.sex == "sow" and not cast.stated and stayed > TERM_OVER:
            ago = cast.came.ago - TERM_OVER
            states(story, cast.key, ago, {"pregnant": "no"}, "eleven weeks here, no entire boar")
