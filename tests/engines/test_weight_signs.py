"""Signs from rows of weighings, worked by hand: per cent of the animal's own weight, and days."""

from collections.abc import Mapping
from datetime import timedelta
from decimal import Decimal

import pytest

from cavyround.engines.weight import plain_signs
from cavyround.engines.weight.signs import weight_doubt
from cavyround.facts.animal import AnimalFacts, Born, Event, Weighing
from cavyround.knowledge.book import Knowledge
from tests.builders import NOW, TODAY, a_sow, a_stranger

LOSSES = {"loss_any", "loss_5_in_week", "loss_10_in_week", "loss_5_slow", "loss_10"}


def days_old(days: int) -> Born:
    day = TODAY - timedelta(days=days)
    return Born(earliest=day, latest=day)


def row(*pairs: tuple[float, float], doubted: tuple[int, ...] = ()) -> tuple[Weighing, ...]:
    """Weighings as (days ago, grams), oldest first."""
    return tuple(
        Weighing(
            at=NOW - timedelta(days=ago),
            grams=Decimal(str(grams)),
            doubted=place in doubted,
        )
        for place, (ago, grams) in enumerate(pairs)
    )


def signs(book: Knowledge, facts: AnimalFacts) -> Mapping[str, str]:
    return plain_signs(facts, now=NOW, book=book).words


@pytest.mark.parametrize(
    ("weighed", "expected"),
    [
        # 1000 to 985: 1.5 %, ordinary
        ([(7, 1000), (0, 985)], set()),
        # 1000 to 980: exactly 2 %
        ([(7, 1000), (0, 980)], {"loss_any"}),
        # 1000 to 951: 4.9 %
        ([(7, 1000), (0, 951)], {"loss_any"}),
        # 1000 to 950: exactly 5 %
        ([(7, 1000), (0, 950)], {"loss_any", "loss_5_in_week"}),
        # 1009 to 938 in two days: 7.04 %; and 1004 to 938 in nine: 6.6 %
        ([(9, 1004), (2, 1009), (0, 938)], {"loss_any", "loss_5_in_week", "loss_5_slow"}),
        # 1000 to 900: exactly 10 %
        ([(7, 1000), (0, 900)], {"loss_any", "loss_5_in_week", "loss_10_in_week", "loss_10"}),
        # the same 6 % over three weeks is slow
        ([(21, 1000), (0, 940)], {"loss_any", "loss_5_slow"}),
        # 12 % over eight weeks
        ([(56, 1000), (0, 880)], {"loss_any", "loss_5_slow", "loss_10"}),
        # a weekly weighing a day late is still the week's
        ([(8, 1000), (0, 945)], {"loss_any", "loss_5_in_week"}),
        # gaining again after a loss
        ([(14, 1000), (7, 960), (0, 1001)], set()),
        # 1000, 990, 982, 970: three falls running, 3.0 % together
        ([(21, 1000), (14, 990), (7, 982), (0, 970)], {"loss_any", "loss_three_running"}),
        # three falls that make 1.5 % together are noise
        ([(21, 1000), (14, 995), (7, 990), (0, 985)], set()),
        # 900 to 980 in ten days: 8.9 %
        ([(10, 900), (0, 980)], {"gain_sudden"}),
        # 900 to 960: 6.7 %
        ([(10, 900), (0, 960)], set()),
    ],
)
def test_a_grown_animal_gives_the_signs_worked_by_hand(
    book: Knowledge, weighed: list[tuple[float, float]], expected: set[str]
) -> None:
    assert set(signs(book, a_sow(weighings=row(*weighed)))) == expected


def test_the_words_give_grams_per_cent_days_and_both_weights(book: Knowledge) -> None:
    words = signs(book, a_sow(weighings=row((2, 1009), (0, 938))))
    assert words["loss_5_in_week"] == "lost 71 g (7.0 %) in 2 days: 1009 g to 938 g"


def test_an_animal_never_weighed_says_so(book: Knowledge) -> None:
    assert set(signs(book, a_sow())) == {"not_weighed"}


@pytest.mark.parametrize(
    ("weighed", "why"),
    [
        ([(7, 1111), (0, 111)], "More than an animal changes"),
        ([(7, 950), (0, 33.5)], "More than an animal changes"),
        ([(7, 1000), (0, 1300)], "More than an animal changes"),
        ([(7, 1000), (0, 10000)], "lies outside"),
        ([(0, 12)], "lies outside"),
        ([(60, 1000), (0, 240)], "no grown animal's weight"),
        ([(60, 1000), (0, 460)], "Less than half"),
    ],
)
def test_an_error_of_the_scale_is_doubted_and_never_read_as_a_loss(
    book: Knowledge, weighed: list[tuple[float, float]], why: str
) -> None:
    words = signs(book, a_sow(weighings=row(*weighed)))
    assert set(words) <= {"weight_doubtful", "weight_doubtful_down"}
    assert why in words["weight_doubtful"]


def test_a_doubted_weighing_is_not_reckoned_with(book: Knowledge) -> None:
    weighed = row((14, 1000), (7, 600), (0, 1000), doubted=(1,))
    assert not signs(book, a_sow(weighings=weighed))


def test_a_known_birth_between_two_weighings_is_no_loss(book: Knowledge) -> None:
    born = Event(what="gave_birth", on=TODAY - timedelta(days=1))
    weighed = row((3, 1090), (0, 900))
    assert not set(signs(book, a_sow(weighings=weighed, events=(born,)))) & LOSSES
    assert "loss_10_in_week" in signs(book, a_sow(weighings=weighed))


def test_a_birth_of_unknown_day_counts_as_between(book: Knowledge) -> None:
    facts = a_sow(weighings=row((3, 1090), (0, 900)), events=(Event(what="gave_birth"),))
    assert not set(signs(book, facts)) & LOSSES


def test_a_birth_long_ago_excuses_neither_a_loss_nor_an_error(book: Knowledge) -> None:
    born = Event(what="gave_birth", on=TODAY - timedelta(days=80))
    losing = a_sow(weighings=row((7, 1000), (0, 930)), events=(born,))
    assert "loss_5_in_week" in signs(book, losing)
    mistyped = a_sow(weighings=row((7, 1000), (0, 100)), events=(born,))
    assert set(signs(book, mistyped)) == {"weight_doubtful", "weight_doubtful_down"}


@pytest.mark.parametrize(
    ("age", "weighed", "expected"),
    [
        # a pup may lose a little in its first three days
        (1, [(1, 96), (0, 94)], {"loss_any"}),
        (6, [(1, 108), (0, 104)], {"loss_any", "pup_losing"}),
        (0, [(0, 52)], {"pup_very_light"}),
        (5, [(0, 58)], {"pup_very_light"}),
        (5, [(0, 75)], set()),
        # ten weeks old: 470 g a week ago and now
        (70, [(7, 470), (0, 470)], {"growth_stalled"}),
        # gaining 8 g is not gaining, 40 g is
        (70, [(7, 470), (0, 478)], {"growth_stalled"}),
        (70, [(7, 470), (0, 510)], set()),
        # three months old and 3 g lighter than yesterday is no losing pup
        (90, [(1, 600), (0, 597)], set()),
    ],
)
def test_the_young_give_the_signs_worked_by_hand(
    book: Knowledge, age: int, weighed: list[tuple[float, float]], expected: set[str]
) -> None:
    assert set(signs(book, a_sow(born=days_old(age), weighings=row(*weighed)))) == expected


def test_a_light_animal_of_unknown_age_is_watched_as_if_young(book: Knowledge) -> None:
    assert "growth_stalled" in signs(book, a_stranger(weighings=row((7, 470), (0, 470))))
    assert "growth_stalled" not in signs(book, a_stranger(weighings=row((7, 900), (0, 900))))
    assert "pup_losing" in signs(book, a_stranger(weighings=row((1, 108), (0, 104))))


def test_the_order_of_the_weighings_does_not_matter(book: Knowledge) -> None:
    weighed = row((21, 1000), (14, 990), (7, 982), (0, 940))
    assert signs(book, a_sow(weighings=weighed)) == signs(book, a_sow(weighings=weighed[::-1]))


def test_a_weight_just_read_is_doubted_with_words_and_never_refused(book: Knowledge) -> None:
    facts = a_sow(weighings=row((7, 1000)))
    assert "weigh again" in weight_doubt(facts, Decimal(100), now=NOW, book=book)
    assert weight_doubt(facts, Decimal(960), now=NOW, book=book) == ""


def test_a_loss_weighed_twice_is_a_loss_however_it_was_doubted(book: Knowledge) -> None:
    facts = a_stranger(weighings=row((7, 1000), (0.01, 820), (0, 818), doubted=(1, 2)))
    assert "loss_10_in_week" in signs(book, facts)


def test_a_last_weight_kept_with_a_doubt_asks_to_weigh_again(book: Knowledge) -> None:
    said = signs(book, a_stranger(weighings=row((7, 1000), (0, 820), doubted=(1,))))
    assert "weight_doubtful" in said
    assert "loss_10_in_week" not in said
