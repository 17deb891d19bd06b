"""What is drawn of a story: nothing is hidden, and one slip of a finger flattens nothing."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import altair as alt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.engines.weight.said import Alarm, Band, Kind, Reading, Story
from cavyround.knowledge.urgency import Urgency
from cavyround.web.weights import overview
from cavyround.web.weights.one_animal import DESK, PHONE, SHEET, Size, specification
from cavyround.web.weights.overview import Ranked
from cavyround.web.weights.palette import PAPER, SCREEN, Palette
from cavyround.web.weights.rendering import as_svg
from cavyround.web.weights.window import Mark, Window, window_of
from tests.builders import NOW
from tests.web.weights.stories import a_doubted, a_fall, a_reading, a_story, a_weighing, band


def drawn(story: Story, *marks: Mark) -> Window:
    window = window_of(story, marks)
    assert window is not None
    return window


def test_of_an_animal_never_weighed_nothing_is_drawn() -> None:
    assert window_of(Story(weighings=(), reading=Reading(at=NOW))) is None


def test_every_weighing_is_drawn_at_its_weight() -> None:
    window = drawn(a_fall())
    assert [dot.true_g for dot in window.dots][-3:] == [960, 940, 918]
    assert not any(dot.off_scale for dot in window.dots)
    assert window.low < 918
    assert window.high > 1002


def test_a_doubted_weight_is_kept_at_the_edge_and_does_not_stretch_the_scale() -> None:
    fall = a_fall()
    with_slip = replace(
        fall, weighings=(*fall.weighings[:-1], a_doubted(9180, 3), a_weighing(918, 1))
    )
    plain, slipped = drawn(fall), drawn(with_slip)
    [doubted] = [dot for dot in slipped.dots if dot.doubted]
    assert (doubted.true_g, doubted.grams, doubted.off_scale) == (9180, slipped.high, True)
    assert slipped.high == pytest.approx(plain.high, abs=30)


def test_a_row_of_alarms_of_one_kind_is_named_once() -> None:
    assert [dot.begins for dot in drawn(a_fall()).dots][-3:] == [True, False, False]


def test_only_what_was_weighed_since_is_drawn_and_the_last_one_always() -> None:
    window = window_of(a_fall(), since=NOW - timedelta(days=12))
    assert window is not None
    assert len(window.dots) == 3
    long_ago = window_of(a_story([a_weighing(1000, 300)]), since=NOW - timedelta(days=42))
    assert long_ago is not None
    assert len(long_ago.dots) == 1


def test_what_lies_ahead_leaves_room_for_what_was() -> None:
    short = drawn(a_story([a_weighing(1000, days) for days in (20, 10, 1)]))
    assert short.ahead[-1].at[:10] == (NOW + timedelta(days=14)).date().isoformat()
    long = drawn(a_story([a_weighing(1000, days) for days in (400, 10, 1)]))
    assert long.ahead[-1].at[:10] == (NOW + timedelta(days=28)).date().isoformat()
    assert 3 <= len(short.ahead_at(40)) <= 41


def test_the_lines_below_the_own_normal_follow_it_and_are_left_out_beyond_the_scale() -> None:
    [five, ten] = drawn(a_fall()).steps
    assert (five.pct, five.line[0].mid, ten.line[-1].mid) == (5, 950, 900)
    steady = drawn(a_story([a_weighing(1000, days) for days in (20, 10, 1)]))
    assert [step.pct for step in steady.steps] in ([], [5])


def test_what_happened_within_a_few_days_shares_a_line_and_its_words() -> None:
    days = [NOW - timedelta(days=back) for back in (40, 39, 10, 500)]
    words = ("came", "operation", "gave birth", "mated")
    marks = [
        Mark(day.date().isoformat() + "T12:00:00", w) for day, w in zip(days, words, strict=True)
    ]
    assert [mark.words for mark in drawn(a_fall(), *marks).marks] == [
        "came, operation",
        "gave birth",
    ]


def test_days_are_the_rescues_own_across_the_change_of_the_clocks() -> None:
    """In London 30 March 2026 09:00 is 08:00 UTC, the day before 09:00 UTC."""
    at = [datetime(2026, 3, 28, 9, tzinfo=UTC), datetime(2026, 3, 30, 8, tzinfo=UTC)]
    weighings = [replace(a_weighing(1000, 1), at=moment) for moment in at]
    window = drawn(a_story(weighings, a_reading(at=at[-1])))
    assert [dot.at for dot in window.dots] == ["2026-03-28T09:00:00", "2026-03-30T09:00:00"]


def test_a_minute_later_the_picture_is_the_same() -> None:
    fall = a_fall()
    later = replace(fall, reading=replace(fall.reading, at=NOW + timedelta(minutes=7)))
    assert drawn(fall) == drawn(later)


@pytest.mark.parametrize("size", [PHONE, DESK, SHEET], ids=["phone", "desk", "sheet"])
@pytest.mark.parametrize("palette", [SCREEN, PAPER], ids=["screen", "paper"])
def test_the_specification_is_one_the_published_schema_allows(size: Size, palette: Palette) -> None:
    story = replace(a_fall(), weighings=(*a_fall().weighings, a_doubted(9180, 0.5)))
    window = drawn(story, Mark("2026-02-20T12:00:00", "operation"))
    alt.Chart.from_dict(specification(window, size, palette))


@pytest.mark.parametrize("kind", Kind)
def test_each_kind_of_alarm_has_a_sign_and_a_word_of_its_own(kind: Kind) -> None:
    alarm = Alarm(level=Urgency.CARER_RECHECK, kind=kind, score=1, why=("so",))
    svg = as_svg(
        specification(drawn(a_story([a_weighing(1000, 9), a_weighing(990, 1, alarm=alarm)]))), "w"
    )
    others = {one: text for one, text in WORDS.items() if one != kind}
    assert WORDS[kind] in svg
    assert not any(f">{text}<" in svg for text in others.values())


WORDS = {
    Kind.LOSS: "losing",
    Kind.GAIN: "gaining",
    Kind.GROWTH: "not growing",
    Kind.PREGNANCY: "pregnancy",
    Kind.WEIGH_AGAIN: "weigh again",
}


def test_the_picture_takes_the_colours_of_the_page_and_has_one_name() -> None:
    svg = as_svg(specification(drawn(a_fall())), 'Weights of "Bo" <b>')
    assert svg.count("role=") == 1
    assert 'aria-label="Weights of &quot;Bo&quot; &lt;b&gt;"' in svg
    assert "var(--leaf)" in svg
    assert "var(--fault)" in svg
    paper = as_svg(specification(drawn(a_fall()), SHEET, PAPER), "Weights")
    assert "var(" not in paper


def test_the_overview_is_allowed_by_the_schema_and_escapes_names() -> None:
    ranked = [
        Ranked("Bo", -3, -2, -1, "loss"),
        Ranked("<script>alert(1)</script>", -1, 0, 1),
        Ranked("Bo", 10, 20, 30),
    ]
    spec = overview.specification(ranked)
    alt.Chart.from_dict(spec)
    svg = as_svg(spec, "herd")
    assert "<script" not in svg
    assert svg.count(">Bo<") == 2
    [low, mid, high] = [
        spec["layer"][1]["data"]["values"][2][end] for end in ("low", "mid", "high")
    ]
    assert low == mid == high == overview.MOST_PCT


grams = st.decimals(30, 2700, places=0)
days = st.lists(st.floats(0, 800), min_size=1, max_size=12, unique=True)


@given(days, st.data())
def test_any_weighings_give_a_picture_with_all_of_them_inside(
    at: list[float], data: st.DataObject
) -> None:
    weighings = []
    for back in sorted(at, reverse=True):
        weight = data.draw(grams)
        make = a_doubted if data.draw(st.booleans()) else a_weighing
        weighings.append(make(float(weight), back))
    window = drawn(a_story(weighings, a_reading(now=band(float(weighings[-1].grams)))))
    assert len(window.dots) == len(weighings)
    assert all(window.low <= dot.grams <= window.high for dot in window.dots)
    assert all(dot.doubted or not dot.off_scale for dot in window.dots)
    assert all(
        window.low <= one.low <= one.mid <= one.high <= window.high
        for one in (*window.level, *window.normal, *window.ahead)
    )
    assert window.first <= window.now <= window.last


def test_a_band_wider_than_the_scale_ends_at_its_edge() -> None:
    wide = a_weighing(1000, 1, own_normal=Band(200, 1000, 4000))
    window = drawn(a_story([wide]))
    assert window.high < 1200
    assert window.normal[0].high == window.high


def test_a_first_weighing_with_nothing_known_is_a_single_dot() -> None:
    one = a_weighing(764, 1, expected=None, level=None, own_normal=None)
    reading = Reading(at=NOW, weighings=1, last_at=one.at, last_g=Decimal(764))
    window = drawn(Story(weighings=(one,), reading=reading))
    assert (len(window.dots), window.level, window.ahead) == (1, (), ())
    assert ">764" not in as_svg(specification(window), "w")
