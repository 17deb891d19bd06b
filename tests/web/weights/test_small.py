"""Small plots: one scale for all, what is far off at the edge, the last alarm with its sign."""

from datetime import timedelta

import pytest

from cavyround.engines.weight.said import Kind
from cavyround.web.weights.small import (
    DIAMOND,
    HIGHEST_PCT,
    LOWEST_PCT,
    SHAPES,
    Frame,
    Spot,
    small_plot,
    spots_of,
)
from tests.builders import NOW
from tests.web.weights.stories import a_doubted, a_fall, a_story, a_weighing

FRAME = Frame(NOW - timedelta(weeks=8), NOW)


def spot(pct: float, days_ago: float = 1, *, doubted: bool = False, kind: str = "") -> Spot:
    return Spot(NOW - timedelta(days=days_ago), pct, doubted, kind)


def test_a_weighing_stands_at_its_per_cent_of_the_own_normal_of_its_day() -> None:
    grown = a_weighing(950, 1, normal=1000)
    young = a_weighing(475, 8, normal=500)
    placed = spots_of(a_story([young, grown]), FRAME.begin)
    assert [one.pct for one in placed] == pytest.approx([-5, -5])


def test_what_has_no_own_normal_yet_is_not_placed() -> None:
    assert spots_of(a_story([a_weighing(764, 1, own_normal=None)]), FRAME.begin) == ()


def test_only_the_last_weeks_are_shown() -> None:
    assert len(spots_of(a_story([a_weighing(1000, 90), a_weighing(1000, 2)]), FRAME.begin)) == 1


def test_the_last_alarm_has_its_sign_and_a_quiet_one_a_dot() -> None:
    alarmed = small_plot(spots_of(a_fall(), FRAME.begin), FRAME, "Bo")
    assert alarmed.count('class="alarm"') == 1
    assert SHAPES["loss"] in alarmed
    quiet = small_plot((spot(0, 8), spot(1)), FRAME, "Bo")
    assert 'class="alarm"' not in quiet
    assert quiet.count('class="last"') == 1


@pytest.mark.parametrize("kind", Kind)
def test_each_kind_has_a_shape_of_its_own(kind: Kind) -> None:
    assert len(set(SHAPES.values()) | {DIAMOND}) == len(Kind) + 1
    assert SHAPES[kind.value] in small_plot((spot(-3, kind=kind.value),), FRAME, "Bo")


def test_a_doubted_weighing_is_marked_and_not_joined_up() -> None:
    story = a_story([a_weighing(1000, 9), a_doubted(9180, 5), a_weighing(1001, 1)])
    picture = small_plot(spots_of(story, FRAME.begin), FRAME, "Bo")
    assert DIAMOND in picture
    line = picture.partition('points="')[2].partition('"')[0]
    assert len(line.split()) == 2


def test_what_lies_beyond_is_drawn_at_the_edge_inside_the_picture() -> None:
    picture = small_plot((spot(-60, 8), spot(80, 1)), FRAME, "Bo")
    line = picture.partition('points="')[2].partition('"')[0]
    heights = [float(point.split(",")[1]) for point in line.split()]
    assert heights == [FRAME.height - 7, 7]
    assert LOWEST_PCT < -10 < 0 < HIGHEST_PCT


def test_the_scale_follows_what_is_believed_and_not_what_is_doubted() -> None:
    held = FRAME.holding((spot(12, 8), spot(20, 2), spot(800, 1, doubted=True)))
    assert (held.highest, held.lowest) == (21, LOWEST_PCT)
    line = small_plot((spot(12, 8), spot(20, 2)), held, "Bo").partition('points="')[2]
    before, last = [float(one.split(",")[1]) for one in line.partition('"')[0].split()]
    assert 7 < last < before
    assert FRAME.holding(()) == FRAME


def test_a_name_is_text_and_nothing_else() -> None:
    assert "<script" not in small_plot((), FRAME, "<script>")
