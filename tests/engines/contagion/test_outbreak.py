"""An outbreak as a carer would run it: what to do for whom, and what keeps it open."""

from dataclasses import replace
from datetime import UTC, date, timedelta

import pytest

from cavyround.engines.contagion.cases import Case, Sure
from cavyround.engines.contagion.changes import ChangeKind, changes
from cavyround.engines.contagion.origins import met_before
from cavyround.engines.contagion.outbreak import stands
from cavyround.engines.contagion.outbreak_said import Left, OutbreakFacts, OutbreakStands
from cavyround.engines.contagion.settings import infections_of, lasts_of, watch_of, ways_of
from cavyround.engines.contagion.tracing import Strength
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.contagion import OutbreakKind
from tests.engines.contagion.made import day, stay

STAYS = (
    # Case lives with Mate until it is found on day 20 and goes to isolation.
    stay("Case", "1", 0, 20),
    stay("Case", "iso", 20, None, room="wash house"),
    stay("Mate", "1", 0, None),
    stay("Neighbour", "2", 0, None),
    stay("Far", "9", 0, None, room="barn"),
    # Adopted lived with it and left; Early left before it came.
    stay("Adopted", "1", 0, 10),
    stay("Early", "1", -9, 0),
)


def kind(book: Knowledge, name: str) -> OutbreakKind:
    found = book.contagion.kind(name)
    assert found is not None
    return found


def facts(book: Knowledge, name: str = "ringworm", **more: object) -> OutbreakFacts:
    given: dict[str, object] = {
        "kind": kind(book, name),
        "cases": (Case(animal="Case", signs_at=day(20)),),
        "stays": STAYS,
        "left": {
            "Adopted": Left(on=date(2026, 3, 11), how="adopted", to="the Pells"),
            "Early": Left(on=date(2026, 3, 1), how="adopted"),
        },
        "looked": {},
    }
    return OutbreakFacts(**(given | more))  # type: ignore[arg-type]


def at(days: float, told: OutbreakFacts, book: Knowledge) -> OutbreakStands:
    return stands(told, now=day(days), zone=UTC, book=book)


def names(now: OutbreakStands, code: str) -> list[str]:
    return [name for task in now.tasks if task.code == code for name, _ in task.animals]


def test_the_case_is_isolated_until_it_stands_in_isolation(book: Knowledge) -> None:
    assert names(at(20, facts(book), book), "isolate") == ["Case"]
    assert names(at(21, facts(book, apart=frozenset({"Case"})), book), "isolate") == []


def test_who_took_one_meanwhile_is_told_and_who_took_one_before_is_not(book: Knowledge) -> None:
    (told,) = [task for task in at(21, facts(book), book).tasks if task.code == "tell"]
    assert told.animals == (("Adopted", "adopted on 2026-03-11 to the Pells"),)


def test_pen_mates_are_treated_together_on_an_order_and_neighbours_only_watched(
    book: Knowledge,
) -> None:
    now = at(21, facts(book), book)
    assert names(now, "together") == ["Case", "Mate"]
    assert names(now, "no_adoption") == ["Case", "Mate", "Neighbour"]
    (task,) = [task for task in now.tasks if task.code == "together"]
    assert "order" in task.words


def test_mites_do_not_fly_so_the_air_does_not_count(book: Knowledge) -> None:
    assert at(21, facts(book, "mange"), book).traced.of("Neighbour") is None
    found = at(21, facts(book), book).traced.of("Neighbour")
    assert found is not None
    assert found.strength is Strength.WEAK_DIRECT


def test_the_exposed_are_looked_at_from_the_first_signs_until_the_longest_incubation(
    book: Knowledge,
) -> None:
    """Ringworm 4 days to 4 weeks (SMG): days 4, 16 and 28 after the last contact on day 20."""
    now = at(21, facts(book), book)
    days = [(one.on - day(20).date()).days for one in now.check_days if one.animal == "Mate"]
    assert days == [4, 16, 28]


def test_a_look_answers_the_days_before_it_and_none_after(book: Knowledge) -> None:
    looked = facts(book, looked={"Mate": [day(37)]})
    done = [one.done for one in at(40, looked, book).check_days if one.animal == "Mate"]
    assert done == [True, True, False]


def test_one_that_stayed_clear_to_its_last_day_is_free_again(book: Knowledge) -> None:
    looked = facts(book, looked={"Mate": [day(48)]})
    early = facts(book, looked={"Mate": [day(47)]})
    assert names(at(47, early, book), "no_adoption") == ["Case", "Mate", "Neighbour"]
    assert names(at(49, looked, book), "no_adoption") == ["Case", "Neighbour"]


def closable(book: Knowledge) -> OutbreakFacts:
    return facts(
        book,
        cases=(Case(animal="Case", signs_at=day(20), over_at=day(48)),),
        looked={name: [day(49)] for name in ("Mate", "Neighbour")},
        apart=frozenset({"Case"}),
        said=frozenset({"treated", "cleaned", "told"}),
    )


def test_it_closes_when_every_condition_is_met(book: Knowledge) -> None:
    now = at(49, closable(book), book)
    assert [one.what for one in now.conditions if not one.met] == []
    assert now.may_close


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"cases": (Case(animal="Case", signs_at=day(20)),)}, "cases_over"),
        ({"looked": {"Mate": [day(49)]}}, "looked_at"),
        ({"said": frozenset({"treated", "told"})}, "cleaned"),
    ],
)
def test_each_condition_keeps_it_open(
    change: dict[str, object], code: str, book: Knowledge
) -> None:
    now = at(49, replace(closable(book), **change), book)  # type: ignore[arg-type]
    assert [one.code for one in now.conditions if not one.met] == [code]


def test_it_stays_open_for_one_longest_incubation_after_the_last_contact(book: Knowledge) -> None:
    unmet = {one.code for one in at(47, closable(book), book).conditions if not one.met}
    assert "watched" in unmet


def test_while_a_case_shares_the_pen_the_watch_never_ends(book: Knowledge) -> None:
    together = (stay("Case", "1", 0, None), stay("Mate", "1", 0, None))
    now = at(300, facts(book, stays=together, left={}), book)
    (watched,) = [one for one in now.conditions if one.code == "watched"]
    assert "still in contact" in watched.what


def test_where_no_incubation_is_published_ours_is_taken_and_said_so(book: Knowledge) -> None:
    watch = watch_of(kind(book, "gut"), book)
    assert (watch.days, watch.is_published) == (14, False)
    assert "our own choice" in watch.words
    assert watch_of(kind(book, "mange"), book).is_published


def test_a_pen_counts_as_catching_until_it_is_cleaned(book: Knowledge) -> None:
    moved = (stay("Case", "1", 0, 20), stay("New", "1", 26, None))
    dirty = at(30, facts(book, stays=moved), book).traced.of("New")
    assert dirty is not None
    clean = {("shed", "1"): [day(25)]}
    assert at(30, facts(book, stays=moved, cleaned=clean), book).traced.of("New") is None


def test_what_changed_since_yesterday(book: Knowledge) -> None:
    before = facts(book)
    two = (*before.cases, Case(animal="Mate", signs_at=day(24)))
    after = facts(
        book, cases=two, stays=(*STAYS, stay("New", "1", 24, None)), looked={"Neighbour": [day(24)]}
    )
    found = changes(at(23.9, before, book), at(24.5, after, book))
    said = {(one.kind, one.animal) for one in found}
    assert (ChangeKind.NEW_CASE, "Mate") in said
    assert (ChangeKind.NEWLY_EXPOSED, "New") in said
    assert (ChangeKind.NO_LONGER, "Mate") not in said, "a case is no longer only exposed"
    assert changes(at(23, before, book), at(23, before, book)) == ()


def test_a_case_ruled_out_is_told_as_such_and_frees_the_exposed(book: Knowledge) -> None:
    out = facts(book, cases=(Case(animal="Case", signs_at=day(20), sure=Sure.RULED_OUT),))
    found = changes(at(23, facts(book), book), at(24, out, book))
    said = {(one.kind, one.animal) for one in found}
    assert (ChangeKind.RULED_OUT, "Case") in said
    assert (ChangeKind.NO_LONGER, "Mate") in said


def test_from_whom_it_may_have_come_lies_within_the_incubation(book: Knowledge) -> None:
    """Signs on day 20, ringworm 4 to 28 days: caught between day -8 and day 16."""
    stays = (*STAYS, stay("Brought", "1", 5, 8), stay("Late", "1", 17, 19))
    told = facts(book, stays=stays)
    (window,) = at(21, told, book).windows
    met = met_before(
        window,
        stays,
        (),
        lasts=replace(lasts_of(told.kind, book), pen=timedelta()),
        ways=ways_of(told.kind),
    )
    close = {one.case for one in met if one.way == "pen"}
    assert close == {"Mate", "Adopted", "Brought"}


def test_of_something_not_known_people_are_told_to_keep_away_and_no_kind_contradicts_itself(
    book: Knowledge,
) -> None:
    kinds = {one.id: one for one in book.contagion.outbreaks}
    assert "keep away until the vet says what it is" in (kinds["not_known"].people or "")
    for kind in kinds.values():
        told = [one.tell_people for one in infections_of(kind, book) if one.tell_people]
        words = kind.people or " ".join(dict.fromkeys(told))
        assert not ("Nobody needs to be told" in words and "Tell " in words), kind.id
