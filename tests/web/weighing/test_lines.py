"""Lines of a notebook, read strictly: what is not understood is said, and nothing is lost."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.web.weighing.notebook.handles import Handles, Known
from cavyround.web.weighing.notebook.lines import read_lines
from cavyround.web.weighing.notebook.tables import read_table
from cavyround.web.weighing.notebook.written import Written

HERD = Handles(
    [
        Known(id="a-1", name="Bramble"),
        Known(id="a-2", name="Clover", microchip="985141000123456"),
        Known(id="a-3", name="Pup"),
        Known(id="a-4", name="Pup 3"),
        Known(id="a-5", name="Sir Hops-a-lot"),
    ]
)
ON = date(2026, 3, 4)


def read(text: str) -> list[Written]:
    return list(read_lines(text, HERD).written)


def short(one: Written) -> tuple[str, date | None, str]:
    assert one.amount is not None, one.why
    return one.who, one.day.on if one.day else None, one.amount.written


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Bramble 912", ("Bramble", None, "912")),
        ("bramble: 912 g", ("bramble", None, "912 g")),
        ("- Bramble - 912 g", ("Bramble", None, "912 g")),
        ("1. Bramble 912 g", ("Bramble", None, "912 g")),
        ("Bramble = 2 lb 1 oz", ("Bramble", None, "2 lb 1 oz")),
        ("Bramble\t912\t04/03/2026", ("Bramble", ON, "912")),
        ("Bramble,912,4/3/2026", ("Bramble", ON, "912")),
        ("Bramble;2026-03-04;912,5 g", ("Bramble", ON, "912,5 g")),
        ("4 March 2026, Bramble, 912 g", ("Bramble", ON, "912 g")),
        ("985141000123456 912g", ("985141000123456", None, "912g")),
        ("Pup 412 g", ("Pup", None, "412 g")),
        ("Pup 3 412 g", ("Pup 3", None, "412 g")),
        ("Sir Hops-a-lot 2lb4.8", ("Sir Hops-a-lot", None, "2lb4.8")),
        ("Bramble 912.5.", ("Bramble", None, "912.5")),
        ("Brambel 912 g", ("Brambel", None, "912 g")),
        ("Bramble Junior 412 g", ("Bramble Junior", None, "412 g")),
    ],
)
def test_a_line_says_an_animal_its_day_and_its_weight(
    text: str, said: tuple[str, date | None, str]
) -> None:
    (one,) = read(text)
    assert short(one) == said


def test_several_stand_in_one_line() -> None:
    both = read("Bramble: 2 lb 1 oz, Clover 1043g")
    assert [short(one) for one in both] == [
        ("Bramble", None, "2 lb 1 oz"),
        ("Clover", None, "1043g"),
    ]
    assert [one.line for one in both] == [1, 1]
    assert len(read("Bramble 912 g Clover 1043 g; Pup 3 412 g")) == 3


def test_a_day_alone_on_a_line_holds_for_the_lines_below_it() -> None:
    lines = read("Pup 300 g\n4 March 2026\nBramble 912 g\n\nClover 11/3/2026 1043 g\nPup 310 g")
    days = [one.day.on if one.day else None for one in lines]
    assert days == [None, ON, date(2026, 3, 11), ON]
    assert [one.line for one in lines] == [1, 3, 5, 6]


def test_a_day_that_cannot_be_is_not_passed_over() -> None:
    lines = read("31/2/2026\nBramble 912 g")
    assert all((one.day and one.day.why) or one.why for one in lines)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("Bramble -912", "below nought"),
        ("Bramble 912 905", "more than one number"),
        ("Bramble 2 stones", "something else"),
        ("Bramble 912 g (after food)", "something else"),
        ("Bramble", "no weight"),
        ("Pup 3", "no weight"),
        ("Bramble heavy", "no weight"),
        ("912 g Bramble", "does not begin with an animal"),
        ("912", "does not begin with an animal"),
    ],
)
def test_what_cannot_be_read_says_why(text: str, why: str) -> None:
    (one,) = read(text)
    assert one.amount is None
    assert why in one.why
    assert one.text == text


@given(st.text(alphabet="Brambl Pu3 912.,;:/-\t\nglbozk½\u2013", max_size=60))
def test_no_line_is_lost_whatever_is_written(text: str) -> None:
    lines = text.splitlines()
    said = {one.line for one in read(text)}
    days = {n for n, line in enumerate(lines, 1) if not read_lines(line, HERD).written}
    written = {n for n, line in enumerate(lines, 1) if line.strip(" \t.;,")}
    assert written - said <= days


@given(st.text(max_size=80))
def test_anything_at_all_can_be_pasted(text: str) -> None:
    for one in (*read(text), *(notes.written if (notes := read_table(text)) else ())):
        assert one.amount or one.why or one.empty
