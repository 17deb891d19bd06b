"""What a reading says: numbers with units, a trend with its interval, no more than is sure."""

from datetime import timedelta
from decimal import Decimal

import pytest

from cavyround.engines.weight.said import Alarm, Band, Kind, Reading
from cavyround.knowledge.urgency import Urgency
from cavyround.web.weights.measures import (
    chance_below_nought,
    in_hundred,
    likelihood,
    short_day,
    signed,
    when_again,
)
from cavyround.web.weights.saying import again_words, said_of, trend_arrow, trend_short, trend_words
from cavyround.web.weights.table import lines_of
from tests.builders import NOW
from tests.web.weights.stories import (
    a_doubted,
    a_fall,
    a_loss,
    a_reading,
    a_story,
    a_weighing,
    band,
)


def test_an_alarm_is_said_first_with_weight_trend_and_when_to_weigh_again() -> None:
    said = said_of(a_loss(), NOW)
    assert said.level is Urgency.VET_DAYS
    assert said.headline == "It has very likely lost more than 5 % of its own normal."
    assert said.against == (
        "Now about 920 g: 80 g (2.8 oz), 8.0 %, below its own normal of 1,000 g."
    )
    assert said.trend == (
        "Losing 30 g (1.1 oz), 3.0 %, a week: between 20 and 40 g (\u22124.0 to \u22122.0 %)."
    )
    assert said.again == "today"
    assert said.why == ("About 80 g below.",)


def test_the_chances_are_said_in_plain_words_with_their_number() -> None:
    assert said_of(a_loss(), NOW).chances == (
        "Below its own normal by more than 3 %: almost surely, over 99 in 100; "
        "by more than 5 %: very likely, 93 in 100; by more than 10 %: hardly, 2 in 100."
    )


def test_equal_chances_are_said_once() -> None:
    calm = said_of(a_reading(), NOW).chances
    assert calm == "Below its own normal by more than 3, 5 or 10 %: hardly, under 1 in 100."


@pytest.mark.parametrize(
    ("probability", "words"),
    [
        (1.0, "almost surely"),
        (0.99, "almost surely"),
        (0.95, "very likely"),
        (0.7, "likely"),
        (0.5, "perhaps"),
        (0.33, "perhaps"),
        (0.2, "rather not"),
        (0.05, "hardly"),
        (0.0, "hardly"),
    ],
)
def test_a_probability_has_a_plain_word(probability: float, words: str) -> None:
    assert likelihood(probability) == words


def test_nothing_is_ever_certain() -> None:
    assert (in_hundred(1.0), in_hundred(0.0)) == ("over 99 in 100", "under 1 in 100")


@pytest.mark.parametrize(
    ("count", "words"),
    [
        (1, "Said from one weighing only: no trend yet."),
        (2, "Said from two weighings only: no trend yet."),
        (0, ""),
    ],
)
def test_of_one_or_two_weighings_no_trend_is_said(count: int, words: str) -> None:
    reading = a_reading(-30, sure=False, weighings=count)
    assert trend_words(reading) == words
    said = said_of(reading, NOW)
    assert said.chances == ""
    assert said.ahead == ""
    assert trend_arrow(reading) == ""


@pytest.mark.parametrize(
    ("trend", "half", "begin", "arrow"),
    [
        (-30, 10, "Losing 30 g (1.1 oz), 3.0 %, a week", "↓"),
        (25, 10, "Gaining 25 g (0.9 oz), 2.5 %, a week", "↑"),
        (
            -16,
            17,
            "Very likely losing 16 g (0.6 oz), 1.6 %, a week: between 33 g lost and 1 g gained",
            "↓",
        ),
        (6, 12, "Likely gaining 6 g (0.2 oz), 0.6 %, a week", "↑"),
        (
            0,
            6,
            "No clear trend: between 6 g lost and 6 g gained (\u22120.6 to +0.6 %) a week.",
            "→",
        ),
    ],
)
def test_a_trend_is_said_as_surely_as_it_is_known(
    trend: float, half: float, begin: str, arrow: str
) -> None:
    reading = a_reading(trend, half)
    assert trend_words(reading).startswith(begin)
    assert trend_arrow(reading) == arrow


def test_the_chance_to_be_below_nought_is_that_of_a_normal_distribution() -> None:
    """Half of a 95 % interval is 1.96 standard deviations: at its upper end 97.5 % lie below."""
    assert chance_below_nought(Band(-4, -2, 0)) == pytest.approx(0.975, abs=1e-4)
    assert chance_below_nought(Band(-1, 0, 1)) == pytest.approx(0.5)
    assert chance_below_nought(Band(-1, -1, -1)) == 1


def test_a_weight_as_its_own_normal_is_not_said_to_be_off() -> None:
    said = said_of(a_reading(now=band(1003)), NOW)
    assert said.against == "Now about 1,003 g, as its own normal of 1,000 g."
    assert said.headline == "Nothing in the weights to worry about."


def test_the_first_line_is_the_plain_one() -> None:
    assert said_of(a_loss(), NOW).plain == "80 g below its own normal, losing 30 g a week."
    assert said_of(a_reading(), NOW).plain == "At its own normal, steady."
    unclear = a_reading(0, 40)
    assert said_of(unclear, NOW).plain == "At its own normal, no clear trend."
    few = a_reading(-30, sure=False, weighings=2)
    assert said_of(few, NOW).plain == "Too few weighings to say more."


@pytest.mark.parametrize("kind", [Kind.GAIN, Kind.GROWTH])
def test_one_that_gains_or_grows_too_little_is_told_nothing_of_loss(kind: Kind) -> None:
    alarm = Alarm(level=Urgency.VET_DAYS, kind=kind, why=("Said.", "(between -3 and +9 g)"))
    said = said_of(a_reading(2, 10, alarm=alarm), NOW)
    assert said.chances == ""
    assert said.why == ("(between \u22123 and +9 g)",)
    assert said_of(a_reading(30, 6), NOW).chances == ""


def test_one_that_gains_again_after_a_loss_is_still_told_how_far_below_it_is() -> None:
    assert said_of(a_loss(trend_g=band(20, 6), trend_pct=band(2, 0.6)), NOW).chances


def test_after_the_days_of_a_weekly_weighing_nothing_is_said_of_now() -> None:
    """Weekly weighing with three days of grace."""
    fresh = said_of(a_reading(last_at=NOW - timedelta(days=10)), NOW)
    assert fresh.stale == ""
    old = said_of(a_reading(last_at=NOW - timedelta(days=11)), NOW)
    assert old.stale == "Last weighed 11 days ago: how it is now is not known."
    assert old.headline == old.stale
    assert old.ahead == ""


def test_a_trend_neither_way_is_called_steady_in_a_list_where_it_is_known_well() -> None:
    assert trend_short(a_reading()) == "steady"
    assert trend_short(a_reading(0, 40)) == "no clear trend"
    assert trend_short(a_reading(-30, 10)) == "\u22123.0 % a week"


def test_of_the_first_weighing_nothing_was_expected() -> None:
    [line] = lines_of(a_story([a_weighing(764, 1)]), {})
    assert line.expected == ""


def test_of_an_animal_never_weighed_only_that_is_said() -> None:
    said = said_of(Reading(at=NOW), NOW)
    assert (said.headline, said.against, said.trend) == ("Not weighed yet.", "", "")
    assert said.again == "now"


@pytest.mark.parametrize(
    ("days", "words", "short"),
    [
        (-3, "now, due since 3 days", "now"),
        (-1, "now, due since 1 day", "now"),
        (0, "today", "today"),
        (1, "tomorrow", "tomorrow"),
        (5, "on Sunday 8 March", "Sun 8 Mar"),
    ],
)
def test_when_to_weigh_again_is_a_day_of_the_rescue(days: int, words: str, short: str) -> None:
    due = NOW + timedelta(days=days)
    assert (when_again(due, NOW), short_day(due, NOW)) == (words, short)


def test_the_next_weighing_is_counted_from_the_last() -> None:
    reading = a_reading(last_at=NOW - timedelta(days=6), weigh_again_in=timedelta(days=7))
    assert again_words(reading, NOW) == "tomorrow"


def test_a_number_that_rounds_to_nought_has_no_sign() -> None:
    assert (signed(-0.04, 1), signed(0.0), signed(-1234.0)) == ("0.0", "0", "\u22121,234")


def test_the_table_says_each_weighing_newest_first_with_what_was_expected_and_said() -> None:
    lines = lines_of(a_fall(), {})
    newest, before = lines[0], lines[1]
    assert (newest.grams, newest.ounces) == ("918 g", "2 lb 0.4 oz")
    assert (newest.change, newest.change_pct) == ("\u221222 g", "(\u22122.3 %)")
    assert newest.expected == "975 to 1,025 g"
    assert (newest.alarm, newest.level) == ("losing", Urgency.VET_DAYS)
    assert before.grams == "940 g"
    assert lines[-1].change == ""


def test_a_doubted_weighing_stays_in_the_table_and_nothing_is_measured_from_it() -> None:
    story = a_story([a_weighing(1000, 9), a_doubted(9180, 3), a_weighing(1002, 1)])
    last, doubted, _ = lines_of(story, {})
    assert doubted.doubt == "a digit too many"
    assert doubted.grams == "9,180 g"
    assert (last.change, last.change_pct) == ("+2 g", "(+0.2 %)")


def test_what_was_not_known_on_its_day_is_not_made_up() -> None:
    first = a_weighing(764, 1, expected=None, level=None)
    [line] = lines_of(a_story([first], a_reading(last_g=Decimal(764))), {})
    assert (line.expected, line.believed, line.change) == ("", "", "")
