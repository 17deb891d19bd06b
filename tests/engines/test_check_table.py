"""The steps made ready say what the knowledge says, asked one condition at a time."""

from dataclasses import fields, replace
from datetime import time, timedelta

from hypothesis import given
from hypothesis import strategies as st

from cavyround.engines.check import plan_check
from cavyround.engines.conditions import FOR_PLANNING, Matcher
from cavyround.facts.animal import AnimalFacts, OpenFollowUp, StandingMark
from cavyround.knowledge.conditions import Condition
from tests.builders import NOW, TODAY
from tests.engines.triage_strategies import BOOK, PLACES, animals, observations

KINDS = ("full", "arrival", "quick", "recheck", "weigh_in")
places = st.sampled_from(PLACES)
marks = places.map(lambda at: StandingMark(id="mark", region=at[0], finding=at[1], words="fatty"))
follow_ups = st.tuples(places, st.integers(-9, 9)).map(
    lambda drawn: OpenFollowUp(
        id="promise",
        region=drawn[0][0],
        finding=drawn[0][1],
        due_at=NOW + timedelta(days=drawn[1]),
        words="look again",
    )
)


@st.composite
def with_past(draw: st.DrawFn) -> AnimalFacts:
    """An animal with all that may be known of it."""
    return replace(
        draw(animals()),
        name=draw(st.sampled_from(["", "Teasel"])),
        dark_skin=draw(st.sampled_from([None, True, False])),
        arrived_on=draw(st.sampled_from([None, TODAY, TODAY - timedelta(days=200)])),
        still_open=tuple(draw(st.lists(observations(), max_size=2))),
        before=tuple(draw(st.lists(observations(), max_size=3))),
        checked_before=draw(st.booleans()),
        marks=tuple(draw(st.lists(marks, max_size=2))),
        follow_ups=tuple(draw(st.lists(follow_ups, max_size=2))),
    )


def test_all_that_may_be_known_of_an_animal_is_drawn() -> None:
    """A new fact belongs into ``with_past``: the plan may not change with it within a day."""
    assert {one.name for one in fields(AnimalFacts)} == {
        *("id", "name", "sex", "neutered", "born", "pregnant", "due_from", "coat", "dark_skin"),
        *("place", "arrived_on", "observations", "still_open", "before", "checked_before"),
        *("weighings", "events", "marks", "follow_ups"),
    }


@given(with_past())
def test_a_step_says_what_its_conditions_say_one_by_one(facts: AnimalFacts) -> None:
    matcher = Matcher(facts, now=NOW, book=BOOK, doubts=FOR_PLANNING, with_earlier=False)

    def holds(condition: Condition | None) -> bool:
        return condition is None or matcher.holds(condition) is not None

    plan = plan_check(facts, now=NOW, book=BOOK)
    assert {step.code for step in plan.steps} == {s.code for s in BOOK.steps if holds(s.fits)}
    for planned in plan.steps:
        step = BOOK.step(planned.code)
        more = {one.words for one in step.matters_more if holds(one.when)}
        assert {*planned.why_more, *planned.why_also} == more
        assert planned.left_out == next((n.words for n in step.not_for if holds(n.when)), "")
        words = {str(sex): said for sex, said in step.words_for.items()}
        assert planned.words == words.get(facts.sex, step.words)
    for held in plan.holds:
        [hold] = [one for one in BOOK.holds if one.code == held.code]
        assert held.not_now == next((n.words for n in hold.not_for if holds(n.when)), "")


@given(with_past(), st.sampled_from(KINDS))
def test_where_nothing_was_found_today_the_plan_is_the_same_all_day(
    facts: AnimalFacts, kind: str
) -> None:
    facts = replace(facts, observations=())
    first, last = (
        plan_check(facts, now=NOW.replace(hour=at.hour, minute=at.minute), book=BOOK, kind=kind)
        for at in (time(0, 0), time(23, 59))
    )
    assert first == last


@given(with_past(), with_past())
def test_what_is_known_of_one_animal_alone_is_said_of_no_other(
    one: AnimalFacts, other: AnimalFacts
) -> None:
    alone = plan_check(one, now=NOW, book=BOOK)
    plan_check(other, now=NOW, book=BOOK)
    assert plan_check(one, now=NOW, book=BOOK) == alone
