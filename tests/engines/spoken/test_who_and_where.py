"""Whose a finding is and where it is, in turns of speech; common practice, no source."""

import pytest

from cavyround.engines.spoken import read_note
from cavyround.knowledge.book import Knowledge
from tests.engines.spoken.said import grams, of, signs


def names(book: Knowledge, text: str) -> set[str]:
    return {animal.name for animal in read_note(text, book=book).animals}


@pytest.mark.parametrize(
    ("text", "who"),
    [
        ("Will's got a weepy left eye.", "Will"),
        ("Tuck, seven seventy. Ears clean.", "Tuck"),
        ("Skye fell off the sofa. Ears clean.", "Skye"),
        ("that's Baby Blue. His eyes are clear.", "Baby Blue"),
        ("hi so this is zorbo his eyes are clear", "zorbo"),
        ("Margaret again, usual order. Stanley first. Ears clean.", "Stanley"),
        ("Ears clean on Toby. You've got him upside down, Lesley.", "Toby"),
        ("Wilma's nose is dry. Jean's got the good clippers.", "Wilma"),
        ("Bertram's ears are clean. Manages fine.", "Bertram"),
        ("Belly's bloated. This is Otis.", "Otis"),
    ],
)
def test_an_animal_is_told_from_people_and_from_words(book: Knowledge, text: str, who: str) -> None:
    assert names(book, text) == {who}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Scab on the back of his neck.", ("neck", "N", "scab", "present")),
        ("A scratch across his nose.", ("nose", "N", "wound", "present")),
        ("Gunk round his nose.", ("nose", "N", "discharge", "present")),
        ("Crusty all over both shoulders.", ("shoulder", "B", "crust", "present")),
        ("Stiff in the left hind.", ("hind_leg", "L", "stiff", "present")),
        ("Left hind three out of five.", ("hind_foot", "L", "sore", "present")),
        ("One ear's waxy.", ("ear", "one", "wax", "present")),
        ("His wee was pink yesterday. It's clear now.", ("urine", "N", "normal", "present")),
        ("Two drops in each eye. They're both red.", ("eye", "B", "red", "present")),
        ("Can't feel any lump in the belly.", ("belly", "N", "lump", "absent")),
        ("Back's scabby.", ("back", "N", "scab", "present")),
    ],
)
def test_a_sign_finds_its_place(
    book: Knowledge, text: str, expected: tuple[str, str, str, str]
) -> None:
    assert expected in signs(book, text)


@pytest.mark.parametrize(
    "text",
    [
        "Bloody hell, it's freezing in here.",
        "He got his foot stuck in the ladder.",
        "Soaked it in warm salt water.",
        "Hang on, that's my good clippers, the good clippers.",
        "Watch Fudge for blood in the urine.",
        "Somebody wrote limping on the board.",
    ],
)
def test_a_turn_of_speech_is_no_finding(book: Knowledge, text: str) -> None:
    assert signs(book, text) == set()


def test_a_guess_at_the_kind_leaves_what_was_felt(book: Knowledge) -> None:
    said = signs(book, "There's a lump on her left flank. It might be a fatty lump.")
    assert said == {("flank", "L", "lump", "present")}


def test_what_one_lacks_is_not_taken_from_the_other(book: Knowledge) -> None:
    note = read_note("Rosemary has lice. Thyme's clean, couldn't see a single one.", book=book)
    assert ("coat", "N", "lice", "present") in of(note, "Rosemary")
    assert ("coat", "N", "lice", "present") not in of(note, "Thyme")


def test_two_weights_in_one_sentence_stay_apart(book: Knowledge) -> None:
    note = read_note("Pepper is one pound fifteen and Socks is two pounds three.", book=book)
    weights = {animal.name: float(animal.findings[0].grams or 0) for animal in note.animals}
    # By the pound of 453.59237 g.
    assert weights == {
        "Pepper": pytest.approx(878.8, abs=0.1),
        "Socks": pytest.approx(992.2, abs=0.1),
    }


def test_a_time_of_day_is_no_weight(book: Knowledge) -> None:
    assert grams(book, "Vet's booked, they've given us eight fifteen.") == []
    assert grams(book, "A kilo and fifty.") == [1050]
