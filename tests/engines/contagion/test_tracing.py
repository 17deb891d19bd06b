"""What a carer would say of who was exposed."""

from dataclasses import replace
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from cavyround.engines.contagion.cases import Case, CaseWindow, Sure, window_of
from cavyround.engines.contagion.presences import Lasts, Way
from cavyround.engines.contagion.settings import widest_incubation
from cavyround.engines.contagion.tracing import STRENGTHS, Exposure, Strength, Traced, trace
from cavyround.facts.stays import SharedUse, Stay, UseKind
from cavyround.knowledge.book import Knowledge
from tests.engines.contagion.made import (
    ANIMALS,
    LASTS,
    day,
    stay,
    stays_of_a_herd,
    use,
    uses_of_a_herd,
)

NOW = day(30)


def window(animal: str, perhaps: float, signs: float, **more: object) -> CaseWindow:
    case = Case(animal=animal, signs_at=day(signs), **more)  # type: ignore[arg-type]
    return CaseWindow(
        case=case,
        caught_from=day(perhaps),
        caught_until=day(signs),
        perhaps_since=day(perhaps),
        surely_since=day(signs),
    )


def exposed(
    stays: list[Stay], *cases: CaseWindow, uses: tuple[SharedUse, ...] = (), lasts: Lasts = LASTS
) -> Traced:
    return trace(stays, uses, cases, now=NOW, lasts=lasts)


def strength(traced: Traced, animal: str) -> Strength | None:
    found = traced.of(animal)
    return found.strength if found else None


def test_an_animal_that_left_before_the_case_arrived_was_not_exposed() -> None:
    stays = [stay("Early", "1", 0, 5), stay("Case", "1", 5, None)]
    assert exposed(stays, window("Case", 0, 8)).exposures == ()


def test_pen_mates_are_exposed_closely_since_the_case_may_have_been_catching() -> None:
    stays = [stay("Mate", "1", 0, None), stay("Case", "1", 0, None)]
    found = exposed(stays, window("Case", 3, 8)).of("Mate")
    assert found is not None
    assert (found.strength, found.since) == (Strength.CLOSE_DIRECT, day(3))
    assert found.last is None, "they still live together"


def test_one_that_met_an_exposed_animal_later_may_be_exposed_through_it() -> None:
    stays = [
        stay("Case", "1", 0, 4),
        stay("Mate", "1", 0, 4),
        stay("Mate", "2", 4, 9, room="barn"),
        stay("Later", "2", 6, 12, room="barn"),
    ]
    found = exposed(stays, window("Case", 0, 3)).of("Later")
    assert found is not None
    assert (found.strength, found.since) == (Strength.CLOSE_THROUGH, day(6))
    assert [one.animal for one in found.chain] == ["Mate", "Later"]
    assert found.last == day(4), "if Mate stays well after its last contact, it passed on nothing"


def test_one_that_met_it_before_it_was_exposed_is_not() -> None:
    stays = [
        stay("Mate", "2", 0, 3, room="barn"),
        stay("Earlier", "2", 0, 3, room="barn"),
        stay("Mate", "1", 3, 9),
        stay("Case", "1", 3, 9),
    ]
    assert strength(exposed(stays, window("Case", 0, 8)), "Earlier") is None


def test_the_same_room_is_weaker_than_the_same_pen() -> None:
    stays = [stay("Neighbour", "2", 0, None), stay("Case", "1", 0, None)]
    assert strength(exposed(stays, window("Case", 0, 8)), "Neighbour") is Strength.WEAK_DIRECT


def test_a_pen_passes_it_on_to_the_next_until_it_counts_as_clean() -> None:
    apart = [stay("Case", "1", 0, 4), stay("Next", "1", 6, None), stay("Late", "1", 8, None)]
    traced = exposed(apart, window("Case", 0, 3))
    found = traced.of("Next")
    assert found is not None
    assert [one.way for one in found.contacts] == [Way.AFTER]
    assert strength(traced, "Late") is not Strength.WEAK_DIRECT


def test_hands_and_brushes_pass_it_on_only_in_their_order() -> None:
    stays = [
        stay("Case", "1", 0, None, room="a"),
        stay("After", "2", 0, None, room="b"),
        stay("Before", "3", 0, None, room="c"),
    ]
    for kind in (UseKind.HANDS, UseKind.THINGS):
        uses = (
            use("Before", kind, "x", 2.0, 2.0),
            use("Case", kind, "x", 2.05, 2.05),
            use("After", kind, "x", 2.1, 2.1),
        )
        traced = exposed(stays, window("Case", 0, 3), uses=uses)
        assert strength(traced, "After") is Strength.WEAK_DIRECT
        assert strength(traced, "Before") is None


def test_in_the_run_together_is_as_close_as_the_pen() -> None:
    stays = [stay("Case", "1", 0, None, room="a"), stay("Friend", "2", 0, None, room="b")]
    runs = (
        use("Case", UseKind.RUN, "lawn", 2, 2.2),
        use("Friend", UseKind.RUN, "lawn", 2.1, 2.3),
    )
    traced = exposed(stays, window("Case", 0, 3), uses=runs)
    assert strength(traced, "Friend") is Strength.CLOSE_DIRECT


def test_an_animal_of_which_nobody_knows_where_it_was_is_named_and_not_left_out() -> None:
    stays = [stay("Case", "1", 0, None), stay("Lost", "", 2, 5)]
    assert strength(exposed(stays, window("Case", 0, 8)), "Lost") is Strength.NOT_KNOWN


def test_if_nobody_knows_where_the_case_was_everybody_there_then_is_named() -> None:
    stays = [stay("Case", "", 0, None), stay("Other", "2", 0, 3), stay("Gone", "2", -9, -5)]
    traced = exposed(stays, window("Case", 0, 8))
    assert strength(traced, "Other") is Strength.NOT_KNOWN
    assert strength(traced, "Gone") is None


def test_only_who_met_it_after_its_first_signs_met_it_surely() -> None:
    stays = [
        stay("Case", "1", 0, None),
        stay("Left", "1", 0, 5),
        stay("Stayed", "1", 0, None),
    ]
    traced = exposed(stays, window("Case", 0, 8))
    sure = {one.animal: one.sure for one in traced.exposures}
    assert sure == {"Left": False, "Stayed": True}


def test_a_case_ruled_out_exposes_nobody() -> None:
    stays = [stay("Case", "1", 0, None), stay("Mate", "1", 0, None)]
    assert exposed(stays, window("Case", 0, 8, sure=Sure.RULED_OUT)).exposures == ()


def test_a_case_that_is_over_exposes_nobody_any_more() -> None:
    stays = [stay("Case", "1", 0, None), stay("New", "1", 14, None)]
    over = window("Case", 0, 3, over_at=day(10))
    assert exposed(stays, over).exposures == ()
    soon = [*stays, stay("Soon", "1", 12, None)]
    assert strength(exposed(soon, over), "Soon") is Strength.WEAK_DIRECT, "the pen counts as dirty"


def test_two_cases_are_cases_and_not_exposed_to_each_other() -> None:
    stays = [stay("A", "1", 0, None), stay("B", "1", 0, None)]
    traced = exposed(stays, window("A", 0, 8), window("B", 0, 9))
    assert traced.exposures == ()
    assert {(one.case, one.other) for one in traced.met} == {("A", "B"), ("B", "A")}


def test_the_times_of_a_case_come_from_the_published_incubation(book: Knowledge) -> None:
    """Ringworm: 4 days to 4 weeks (SMG, written for cats)."""
    kind = book.contagion.kind("ringworm")
    assert kind is not None
    times = window_of(Case(animal="A", signs_at=day(40)), *widest_incubation(kind, book))
    assert (times.caught_from, times.caught_until) == (day(12), day(36))
    assert times.perhaps_since == day(12)


def test_without_a_published_incubation_nobody_knows_since_when(book: Knowledge) -> None:
    kind = book.contagion.kind("gut")
    assert kind is not None
    times = window_of(Case(animal="A", signs_at=day(40)), *widest_incubation(kind, book))
    assert (times.caught_from, times.caught_until, times.perhaps_since) == (None, None, None)


# Properties.

CASES = st.lists(st.sampled_from(ANIMALS), min_size=1, max_size=2, unique=True)


def _trace(stays: list[Stay], uses: list[SharedUse], cases: list[str], shift: float = 0) -> Traced:
    windows = [window(name, 1 + shift, 4 + shift) for name in cases]
    return trace(stays, uses, windows, now=day(9 + shift), lasts=LASTS)


def _rank(found: Exposure | None) -> int:
    return len(STRENGTHS) if found is None else STRENGTHS.index(found.strength)


@settings(max_examples=150)
@given(stays_of_a_herd(), uses_of_a_herd(), CASES, st.randoms())
def test_the_order_in_which_stays_are_told_does_not_matter(
    stays: list[Stay],
    uses: list[SharedUse],
    cases: list[str],
    random: "object",
) -> None:
    def said(traced: Traced) -> set[tuple[object, ...]]:
        return {
            (one.animal, one.strength, one.since, one.sure, one.last if one.is_direct else None)
            for one in traced.exposures
        }

    mixed = [*stays]
    random.shuffle(mixed)  # type: ignore[attr-defined]
    assert said(_trace(mixed, uses[::-1], cases[::-1])) == said(_trace(stays, uses, cases))


@settings(max_examples=150)
@given(stays_of_a_herd(), uses_of_a_herd(), CASES, st.integers(-400, 400))
def test_shifting_all_times_shifts_the_answers(
    stays: list[Stay], uses: list[SharedUse], cases: list[str], days: int
) -> None:
    by = timedelta(days=days)
    moved = [
        replace(
            one, began_at=one.began_at + by, ended_at=one.ended_at + by if one.ended_at else None
        )
        for one in stays
    ]
    moved_uses = [
        replace(one, began_at=one.began_at + by, ended_at=(one.ended_at or NOW) + by)
        for one in uses
    ]
    first, second = _trace(stays, uses, cases), _trace(moved, moved_uses, cases, shift=days)
    assert [
        (one.animal, one.strength, one.since + by if one.since else None) for one in first.exposures
    ] == [(one.animal, one.strength, one.since) for one in second.exposures]


@settings(max_examples=200)
@given(stays_of_a_herd(), uses_of_a_herd(), CASES, stays_of_a_herd())
def test_one_more_contact_never_lowers_an_exposure(
    stays: list[Stay], uses: list[SharedUse], cases: list[str], more: list[Stay]
) -> None:
    before, after = _trace(stays, uses, cases), _trace([*stays, *more], uses, cases)
    for one in before.exposures:
        then = after.of(one.animal)
        assert then is not None
        assert _rank(then) <= _rank(one)
        assert then.sure or not one.sure
        assert one.since is None or (then.since is not None and then.since <= one.since)


def test_the_watch_counts_from_the_latest_of_all_ways_it_can_have_come() -> None:
    """Through A, that left the case on day 5, and through B, that stayed with it until day 22."""
    stays = [
        stay("case", "p1", 1, 25, "room p1"),
        stay("a", "p1", 1, 5, "room p1"),
        stay("a", "p2", 5, 12, "room p2"),
        stay("x", "p2", 5, 12, "room p2"),
        stay("x", "p3", 12, 22, "room p3"),
        stay("b", "p1", 1, 22, "room p1"),
        stay("b", "p4", 22, None, "room p4"),
        stay("x", "p4", 22, None, "room p4"),
    ]
    found = exposed(stays, window("case", 1, 20)).of("x")
    assert found is not None
    assert found.strength is Strength.CLOSE_THROUGH
    assert found.last == day(22)


def test_a_weak_contact_of_its_own_does_not_hide_a_pen_mate_that_met_the_case_longer() -> None:
    stays = [
        stay("case", "p1", 1, 25, "room p1"),
        stay("b", "p1", 1, 22, "room p1"),
        stay("b", "p4", 22, None, "room p4"),
        stay("y", "p4", 2, None, "room p4"),
    ]
    hands = (use("case", UseKind.HANDS, "ann", 2, 2), use("y", UseKind.HANDS, "ann", 2.01, 2.01))
    found = exposed(stays, window("case", 1, 20), uses=hands).of("y")
    assert found is not None
    assert found.strength is Strength.WEAK_DIRECT
    assert found.last == day(22)
