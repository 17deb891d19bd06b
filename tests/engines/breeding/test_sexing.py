"""Sexings: who looked, how sure, and what it counts as until they agree."""

from cavyround.engines.breeding import sex_of
from cavyround.facts.animal import Sex
from cavyround.facts.breeding import Sure
from tests.engines.breeding.made import looked, sow


def test_two_people_who_disagree_are_an_alarm_and_it_counts_as_either() -> None:
    known = sex_of(sow(sexings=(looked(Sex.SOW, "Ann", 3), looked(Sex.BOAR, "Ben", 1))))
    assert known.disputed
    assert known.sex is Sex.UNKNOWN
    assert "Ann" in known.words
    assert "Ben" in known.words


def test_two_people_together_settle_it() -> None:
    settled = looked(Sex.BOAR, "Ann", 0.5, Sure.TWO_PEOPLE)
    known = sex_of(sow(sexings=(looked(Sex.SOW, "Ann", 3), looked(Sex.BOAR, "Ben", 1), settled)))
    assert not known.disputed
    assert known.sex is Sex.BOAR


def test_a_look_after_it_was_settled_opens_it_again() -> None:
    settled = looked(Sex.BOAR, "Ann", 3, Sure.TWO_PEOPLE)
    assert sex_of(sow(sexings=(settled, looked(Sex.SOW, "Ben", 1)))).disputed


def test_two_people_on_their_own_who_say_the_same_make_it_surer() -> None:
    known = sex_of(sow(sexings=(looked(Sex.SOW, "Ann", 3), looked(Sex.SOW, "Ben", 1))))
    assert known.sex is Sex.SOW
    assert known.sure is Sure.TWO_PEOPLE


def test_what_was_only_told_counts_as_either_and_contradicts_nobody() -> None:
    told = looked(Sex.SOW, "the former owner", 9, Sure.TOLD)
    assert sex_of(sow(sexings=(told,))).sex is Sex.UNKNOWN
    known = sex_of(sow(sexings=(told, looked(Sex.BOAR, "Ann"))))
    assert known.sex is Sex.BOAR
    assert not known.disputed


def test_the_order_in_which_they_were_entered_does_not_matter() -> None:
    looks = (looked(Sex.SOW, "Ann", 3), looked(Sex.BOAR, "Ben", 1))
    assert sex_of(sow(sexings=looks)) == sex_of(sow(sexings=looks[::-1]))


def test_written_down_without_how_sure_it_counts_as_either() -> None:
    assert sex_of(sow(sure=Sure.UNKNOWN)).sex is Sex.UNKNOWN
    assert sex_of(sow(sure=Sure.LIKELY)).sex is Sex.SOW
    assert "second person" in sex_of(sow(sure=Sure.LIKELY)).do


def test_one_person_who_said_both_is_not_two_who_disagree() -> None:
    known = sex_of(sow(sexings=(looked(Sex.SOW, "Ann", 3), looked(Sex.BOAR, "Ann", 1))))
    assert known.disputed
    assert known.words.startswith("One person looked more than once")
