"""Words of signs said of no animal, of a time or of how much: no finding.

Common practice, no source: how carers talk at the table.
"""

import pytest

from cavyround.engines.spoken import read_note, red_flags
from cavyround.engines.spoken.telling import read_region
from cavyround.knowledge.book import Knowledge
from tests.engines.spoken.said import grams, signs


def found(book: Knowledge, text: str) -> set[str]:
    """The findings of all animals that are there or may be."""
    note = read_note(text, book=book, checking="Fudge")
    return {
        one.finding for animal in note.animals for one in animal.findings if one.status != "absent"
    }


@pytest.mark.parametrize(
    "words", ["It's wriggling, seventy one.", "Pup three, sixty eight, wriggling"]
)
def test_a_wriggling_pup_has_no_maggots(words: str, book: Knowledge) -> None:
    assert "maggots" not in found(book, words)


@pytest.mark.parametrize(
    "words",
    [
        "There's something wriggling in the fur round his bottom",
        "Bottom is wriggling",
        "White grubs wriggling under the tail",
    ],
)
def test_what_wriggles_where_flies_lay_are_maggots(words: str, book: Knowledge) -> None:
    assert "maggots" in found(book, words)


def test_whom_the_vet_expects_is_not_pregnant(book: Knowledge) -> None:
    assert "pregnant" not in found(book, "I've rung and they're expecting him")
    assert "pregnant" in found(book, "She's expecting")


@pytest.mark.parametrize(
    "words", ["Two pounds flat", "A flat two pounds", "Vitamin C, flat refused"]
)
def test_flat_may_say_how_much(words: str, book: Knowledge) -> None:
    assert "lethargic" not in found(book, words)


def test_a_flat_animal_is_flat(book: Knowledge) -> None:
    assert "lethargic" in found(book, "He's flat")


@pytest.mark.parametrize(
    "words",
    [
        "Rang the surgery, tomorrow, ten fifteen",
        "Booked in tomorrow at nine forty",
        "I've rung, they've got a slot, eleven thirty",
    ],
)
def test_the_time_of_a_visit_is_no_weight(words: str, book: Knowledge) -> None:
    assert grams(book, words) == []


@pytest.mark.parametrize("words", ["Weighs ten fifteen", "Rang the vet. Ten fifteen on the scales"])
def test_a_weight_beside_a_visit_is_one(words: str, book: Knowledge) -> None:
    assert grams(book, words) == [1015]


@pytest.mark.parametrize(
    ("words", "weights"),
    [
        ("Rang the vet about Pip, Dot 910.", {"Dot": 910}),
        ("Rang the vet about Pip, Dot at 910.", {"Dot": 910}),
        (
            "Vet appointment booked, Biscuit seven twenty, Dot eight fifteen.",
            {"Biscuit": 720, "Dot": 815},
        ),
        ("Booked Pip in at nine forty", {}),
        ("Booked Pip in tomorrow, nine forty", {}),
        ("Rang the vet about Pip, at nine forty", {}),
    ],
)
def test_a_name_after_the_visit_has_a_weight(
    words: str, weights: dict[str, int], book: Knowledge
) -> None:
    note = read_note(words, book=book, pen=["Pip", "Dot", "Biscuit"])
    read = {a.name: one.grams for a in note.animals for one in a.findings if one.grams}
    assert read == weights


def test_gums_said_after_the_nose_without_stops(book: Knowledge) -> None:
    read = signs(book, "nose dry gums a nice pink eyes clear")
    assert read == {
        ("nose", "N", "normal", "present"),
        ("mouth", "N", "pale", "absent"),
        ("mouth", "N", "normal", "present"),
        ("eye", "B", "normal", "present"),
    }
    assert ("whole", "N", "dehydrated", "present") in signs(book, "dry gums")


def test_a_cage_nobody_lives_in_tells_nothing_of_droppings(book: Knowledge) -> None:
    assert "none_passed" not in found(book, "Bottom cage is empty")
    assert "none_passed" in found(book, "No poo, cage is empty")


@pytest.mark.parametrize(
    "words",
    [
        "That fan, it's wheezing",
        "The heater's wheezing again",
        "Somebody see to that fan, it's wheezing",
        "He's fine, that fan's still rattling",
    ],
)
def test_a_machine_has_no_airway(words: str, book: Knowledge) -> None:
    assert "noisy" not in found(book, words)


def test_an_animal_beside_a_machine_has_one(book: Knowledge) -> None:
    assert "noisy" in found(book, "Fan's off. He's wheezing")
    assert "noisy" in found(book, "By the heater Fudge is wheezing")


@pytest.mark.parametrize(
    "words",
    [
        "Put Dot by the heater, still gasping for breath.",
        "Carried Pip out to the van, still gasping for breath.",
        "Out in the van still gasping",
        "The fan, still gasping",
        "Next to the radiator, it's gasping",
    ],
)
def test_nothing_gasps_but_an_animal(words: str, book: Knowledge) -> None:
    assert "open_mouth" in found(book, words)
    assert [one.finding for one in red_flags(words, book=book, checking="Fudge")] == ["open_mouth"]


@pytest.mark.parametrize("place", ["by", "near", "beside", "under", "next to", "out to", "into"])
def test_what_wheezes_beside_a_machine_may_be_the_animal(place: str, book: Knowledge) -> None:
    assert "noisy" in found(book, f"Moved {place} the heater, still wheezing")
    assert "noisy" in found(book, f"She's {place} the radiator, it's wheezing")


def test_at_its_breathing_a_case_told_of_a_van_gasps(book: Knowledge) -> None:
    read = read_region("breathing", "out in the van still gasping", book=book).findings
    assert "open_mouth" in {one.finding for one in read}


def test_eggs_beside_lice_are_nits(book: Knowledge) -> None:
    read = found(book, "Alive with lice and eggs all through his coat")
    assert read == {"lice", "nits"}
    assert "fly_eggs" in found(book, "Fly eggs round his bottom")


def test_a_bare_no_puts_the_side_right(book: Knowledge) -> None:
    read = signs(book, "The right hind's dragging, no, it's the left")
    assert read == {("hind_leg", "L", "dragging_legs", "present")}


def test_what_was_not_there_on_monday_is_there(book: Knowledge) -> None:
    read = signs(book, "Lump under the chin, wasn't there on Monday")
    assert ("chin", "N", "lump", "present") in read
