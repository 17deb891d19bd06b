"""The ordinary weeks: rounds, small findings, small care."""

from collections.abc import Iterable
from random import Random
from typing import Any

from cavyround.demo.animals import QUARANTINE_DAYS, Cast
from cavyround.demo.story import Again, Story

# Until then newcomers were seen less often; since then the first three weeks are kept strictly.
STRICT_SINCE = 100
NAILS_EVERY = 6
SMALL_CHANCE = 0.06


def ordinary_weeks(story: Story) -> None:
    """The round for every animal, between the days the stories have taken."""
    for cast in story.cast.values():
        random = Random(f"routine {cast.key}")
        for number, (begin, end) in enumerate(cast.spells):
            arrival = cast.came if number == 0 else cast.back
            if arrival is not None and arrival.how == "born_here":
                _pup_days(story, cast, begin)
                continue
            if begin == end == 0:
                continue
            days = list(_days(cast, begin, end, random))
            for week, day in enumerate(days):
                _one_day(story, cast, day, begin, week, random)


def _days(cast: Cast, begin: int, end: int, random: Random) -> Iterable[int]:
    """The days of full checks, first to last, told as days ago."""
    yield begin
    if cast.stated.get("pregnant"):
        yield from range(begin - 3, end, -3 if cast.key == "fern" else -4)
        yield end
        return
    first = (1, 2, 5, 8, 11, 14, 17, 20) if begin <= STRICT_SINCE else (2, 7, 14)
    settled = begin - QUARANTINE_DAYS
    yield from (begin - day for day in first if begin - day > end + 1)
    week = range(end, settled + 1, 7)
    for place, day in reversed(list(enumerate(week))):
        yield day if place < 2 else day + random.choice((-1, 0, 0, 0, 1))
    if end not in week and end != begin:
        yield end


def _one_day(story: Story, cast: Cast, day: int, begin: int, number: int, random: Random) -> None:
    taken = [
        ago
        for (key, ago), visit in story.visits.items()
        if key == cast.key and visit.sitting.kind in ("full", "arrival") and abs(ago - day) <= 1
    ]
    if taken:
        return
    visit = story.visit(cast.key, day, kind="arrival" if day == begin else "full")
    if number and (number + len(cast.name)) % NAILS_EVERY == 0:
        visit.sitting.care.append(_nails(random))
    elif day > 12 and number > 4 and random.random() < SMALL_CHANCE:
        _small_finding(story, cast, day, random)
    if random.random() < 0.05:
        visit.sitting.care.append({"care": "ear_wipe", "side": random.choice("LRB")})
    if "long" in cast.coat and number % 2:
        visit.sitting.care.append({"care": "brush", "detail": "combed to the skin"})


def _nails(random: Random) -> dict[str, Any]:
    if random.random() < 0.2:
        return {
            "care": "nail_trim",
            "status": "partly",
            "detail": "front feet; the hind feet next week",
        }
    return {"care": "nail_trim", "side": "B", "detail": "all four feet"}


def _pup_days(story: Story, cast: Cast, born: int) -> None:
    """Weighed every day; gone over from nose to rump every third, and daily this week."""
    for day in range(born, cast.last - 1, -1):
        full = day <= 5 or (born - day) % 3 == 0
        kind = "arrival" if day == born else "full" if full else "weigh_in"
        story.visit(cast.key, day, kind=kind)


def _small_finding(story: Story, cast: Cast, day: int, random: Random) -> None:
    """A small thing found, cared for, and looked at again a day or two later."""
    found, care, words = random.choice(_small_things(cast, random))
    visit = story.visit(cast.key, day, found=[found], care=care)
    later = random.choice((1, 2, 2, 3))
    side = found.get("side", "N")
    where = {"region": found["region"], "finding": found["finding"], "side": side}
    visit.again.append(
        Again(days=later, words=words, where=(found["region"], found["finding"], side))
    )
    gone = random.random() < 0.75
    after = {**where, "status": "absent"} if gone else {**where, "grade": "healing"}
    look = story.visit(cast.key, day - later, kind="recheck", found=[after])
    look.settles = "gone" if gone else "better"


def _small_things(
    cast: Cast, random: Random
) -> list[tuple[dict[str, Any], list[dict[str, Any]], str]]:
    side = random.choice("LR")
    things: list[tuple[dict[str, Any], list[dict[str, Any]], str]] = [
        (
            {"region": "ear", "finding": "wax", "side": side, "kinds": ["light"]},
            [{"care": "ear_wipe", "side": side, "detail": "dry wipe was enough"}],
            "is the ear clean?",
        ),
        (
            {"region": "nails", "finding": "broken", "side": side},
            [{"care": "nail_trim", "side": side, "detail": "broken nail smoothed"}],
            "is the broken nail dry and clean?",
        ),
        (
            {"region": "front_foot", "finding": "dry", "side": side, "grade": "slight"},
            [{"care": "cream", "side": side, "product": "plain salve"}],
            "is the sole still dry?",
        ),
        (
            {"region": "anus", "finding": "dirty", "grade": "slight"},
            [{"care": "bottom_wash", "detail": "lukewarm water, dried"}],
            "is the bottom clean?",
        ),
    ]
    if "hairless" not in cast.coat:
        things.append(
            (
                {"region": "skin", "finding": "flaky", "grade": "slight"},
                [{"care": "brush"}],
                "is it still flaky, and does it scratch?",
            )
        )
    if cast.sex == "boar":
        things.append(
            (
                {"region": "grease_gland", "finding": "greasy"},
                [{"care": "grease_gland_clean"}],
                "is the gland clean?",
            )
        )
        things.append(
            (
                {"region": "penis", "finding": "debris", "kinds": ["loose"]},
                [{"care": "genital_clean", "detail": "one hay stalk lifted off"}],
                "is anything stuck again?",
            )
        )
    return things
