"""Animals and observations drawn from the whole vocabulary."""

from datetime import timedelta
from decimal import Decimal

from hypothesis import settings
from hypothesis import strategies as st

from cavyround.facts.animal import AnimalFacts, Born, Event, Known, Place, Sex, Weighing
from cavyround.facts.observation import Grade, Observation, Side, Status
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from tests.builders import NOW, TODAY

# A first answer builds the index of rules and takes longer than the rest.
settings.register_profile("triage", deadline=None)
settings.load_profile("triage")
BOOK: Knowledge = load_knowledge()
WORDS = BOOK.vocabulary
# What the check screen offers to be found where, and so what a carer can say.
PLACES = sorted(
    {
        (region, finding)
        for step in BOOK.steps
        for region, several in step.offers.items()
        for finding in several
    }
)
VALUES = {"of_5": (1, 5), "per_min": (40, 160), "mm": (2, 60), "C": (35, 41), "g": (60, 1300)}


@st.composite
def observations(draw: st.DrawFn, *, anywhere: bool = False) -> Observation:
    """Something found; ``anywhere`` draws any finding at any place."""
    if anywhere:
        region = draw(st.sampled_from(sorted(WORDS.regions)))
        finding = draw(st.sampled_from(sorted(WORDS.findings)))
    else:
        region, finding = draw(st.sampled_from(PLACES))
    known = WORDS.findings[finding]
    kinds = draw(st.frozensets(st.sampled_from(known.kinds), max_size=2)) if known.kinds else ()
    unit = draw(st.sampled_from([None, *known.units])) if known.units else None
    value = None
    if unit in VALUES:
        value = Decimal(draw(st.integers(*VALUES[unit])))
    hours = draw(st.none() | st.integers(0, 200))
    return Observation(
        region=region,
        finding=finding,
        side=draw(st.sampled_from(Side)) if WORDS.regions[region].sided else Side.NOT_SAID,
        status=draw(st.sampled_from([Status.PRESENT, Status.UNCERTAIN])),
        grade=draw(st.none() | st.sampled_from(Grade)),
        kinds=frozenset(kinds),
        value=value,
        unit=None if value is None else unit,
        began_at=None if hours is None else NOW - timedelta(hours=hours),
        seen_at=NOW,
    )


events = st.builds(
    Event,
    what=st.sampled_from(sorted(WORDS.events)),
    on=st.none() | st.integers(0, 100).map(lambda days: TODAY - timedelta(days=days)),
)


@st.composite
def births(draw: st.DrawFn) -> Born:
    if draw(st.booleans()):
        return Born()
    days = draw(st.sampled_from([0, 2, 9, 20, 40, 100, 200, 400, 800, 1500, 2600]))
    earlier = draw(st.sampled_from([0, 0, 60]))
    latest = TODAY - timedelta(days=days)
    return Born(earliest=latest - timedelta(days=earlier), latest=latest)


@st.composite
def weighings(draw: st.DrawFn, oldest: int | None) -> tuple[Weighing, ...]:
    """None, or a row of weights believable at that age, about one a week."""
    if oldest is None or oldest > 210:
        low, high = 700, 1200
    else:
        low, high = (80, 160) if oldest <= 45 else (250, 450)
    start = draw(st.integers(low, high))
    grams = []
    for step in draw(st.lists(st.integers(-8, 8), max_size=5)):
        start = round(start * (100 + step) / 100)
        grams.append(start)
    last = len(grams) - 1
    return tuple(
        Weighing(at=NOW - timedelta(days=7 * (last - place)), grams=Decimal(one))
        for place, one in enumerate(grams)
    )


@st.composite
def animals(draw: st.DrawFn, *, anywhere: bool = False) -> AnimalFacts:
    """An animal whose facts do not contradict each other."""
    sex = draw(st.sampled_from(Sex))
    born = draw(births())
    neutered = draw(st.sampled_from([Known.YES, Known.NO, Known.UNKNOWN]))
    pregnant = draw(st.sampled_from(Known))
    oldest = born.oldest_days(TODAY)
    too_young = oldest is not None and oldest < 60
    if sex is Sex.BOAR or neutered is Known.YES or too_young:
        pregnant = Known.NO
    due = draw(st.none() | st.integers(-5, 50)) if pregnant is Known.YES else None
    return AnimalFacts(
        id="drawn",
        sex=sex,
        neutered=neutered,
        born=born,
        pregnant=pregnant,
        due_from=None if due is None else TODAY + timedelta(days=due),
        coat=draw(st.frozensets(st.sampled_from(["long", "satin", "hairless"]), max_size=1)),
        place=draw(st.none() | st.sampled_from(Place)),
        observations=tuple(draw(st.lists(observations(anywhere=anywhere), max_size=5))),
        weighings=draw(weighings(oldest)),
        events=tuple(draw(st.lists(events, max_size=2))),
    )
