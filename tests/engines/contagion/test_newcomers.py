"""A newcomer sets back the clock of all that share its pen or air."""

from cavyround.engines.contagion.newcomers import Meetings, Met
from cavyround.engines.contagion.quarantine import Restart
from tests.engines.contagion.made import day, stay

OWN = stay("A", "1", 0, None)


def met(*others: object, air: bool = True) -> list[tuple[str, Restart]]:
    told = Meetings([OWN, *others]).since("A", day(0), air_counts=air)  # type: ignore[list-item]
    return [(one.other, one.how) for one in told]


def test_one_that_comes_into_the_pen_or_the_room_counts() -> None:
    assert met(stay("B", "1", 3, None)) == [("B", Restart.NEWCOMER_PEN)]
    assert met(stay("B", "2", 3, None)) == [("B", Restart.NEWCOMER_AIR)]


def test_one_in_another_room_does_not_count() -> None:
    assert met(stay("B", "2", 3, None, room="barn")) == []


def test_the_air_counts_only_where_it_is_set_so() -> None:
    assert met(stay("B", "2", 3, None), air=False) == []
    assert met(stay("B", "1", 3, None), air=False) == [("B", Restart.NEWCOMER_PEN)]


def test_those_that_came_together_did_not_meet_anew() -> None:
    assert met(stay("B", "1", 0, None)) == []


def test_moving_within_the_room_is_no_new_air_but_a_new_pen_mate() -> None:
    moved = (stay("B", "2", 0, 4), stay("B", "1", 4, None))
    assert met(*moved) == [("B", Restart.NEWCOMER_PEN)]
    assert met(stay("B", "2", 0, 4), stay("B", "3", 4, None)) == []


def test_the_one_that_moves_meets_those_that_were_there() -> None:
    stays = [stay("A", "1", 0, 5), stay("A", "7", 5, None, room="barn")]
    stays.append(stay("B", "7", -9, None, room="barn"))
    assert Meetings(stays).since("A", day(0), air_counts=True) == (
        Met(other="B", at=day(5), how=Restart.NEWCOMER_PEN),
    )


def test_one_that_had_left_before_does_not_count() -> None:
    assert met(stay("B", "1", -9, -1)) == []
