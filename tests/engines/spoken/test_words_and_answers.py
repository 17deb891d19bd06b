"""Words nobody listed, questions the speaker answers, one side after the other.

Common practice, no source.
"""

import pytest

from cavyround.engines.spoken import read_note
from cavyround.engines.spoken.near_words import near_of
from cavyround.knowledge.book import Knowledge
from tests.engines.spoken.said import of, signs


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ("crustier", "crusty"),
        ("puffier", "puffy"),
        ("swolen", "swollen"),
        ("discharj", ""),
        ("discharje", "discharge"),
        ("bumbelfoot", "bumblefoot"),
        ("ringworms", "ringworm"),
        ("tighter", "tight"),
    ],
)
def test_an_ending_or_a_slip_is_read_as_the_listed_word(
    said: str, read: str, book: Knowledge
) -> None:
    near = near_of(book)
    assert (near.to(said) or (said if near.lexicon.knows(said) else "")) in (
        read,
        *((said,) if read else ()),
    )


def test_no_word_of_every_day_is_bent(book: Knowledge) -> None:
    near = near_of(book)
    names = book.words.names
    every = [*names.never, *names.everyday, *book.words.plain, *names.likely, *names.ambiguous]
    bent = {word: near.to(word) for word in every if near.to(word)}
    # A likely name keeps its own ending: only a quality may hang on it.
    assert {word for word in bent if word not in names.likely} == set()
    assert not near.to("heading")
    assert not near.to("stripe")


def test_a_question_answered_at_once_is_said(book: Knowledge) -> None:
    said = signs(book, "Her right eye. Bulging? No. Cloudy? Yes. Weepy? Yes a bit.")
    assert said == {
        ("eye", "R", "bulging", "absent"),
        ("eye", "R", "cloudy", "present"),
        ("eye", "R", "watery", "present"),
    }


@pytest.mark.parametrize(
    "text",
    [
        "Do guinea pigs get ear mites? Yes.",
        "Eyes. Are they bulging? I don't know, look for yourself.",
        "How's your back love, still sore? Yeah? Nah.",
    ],
)
def test_other_questions_say_nothing(text: str, book: Knowledge) -> None:
    assert signs(book, text) == set()


def test_after_one_side_and_the_other_nothing_is_of_both(book: Knowledge) -> None:
    said = signs(book, "Left ear has wax, right ear's red. No smell.")
    assert ("ear", "B", "smell", "absent") in said


@pytest.mark.parametrize("text", ["Back: red.", "Back isn't red.", "Back more red than before."])
def test_the_back_at_the_head_is_a_place(text: str, book: Knowledge) -> None:
    assert {(region, finding) for region, _, finding, _ in signs(book, text)} == {("back", "red")}


def test_round_a_place_is_at_it(book: Knowledge) -> None:
    assert signs(book, "A bit crusty round the left eye.") == {("eye", "L", "crust", "present")}


def test_a_list_takes_the_place_at_its_end(book: Knowledge) -> None:
    said = signs(book, "No lumps, scabs, crusts, redness, swelling or discharge on the belly.")
    codes = ("lump", "scab", "crust", "red", "swelling", "discharge")
    assert said == {("belly", "N", code, "absent") for code in codes}
    said = signs(book, "Redness, crusts and a bit of swelling on the left ear. Nose clear.")
    assert said == {
        ("ear", "L", "red", "present"),
        ("ear", "L", "crust", "present"),
        ("ear", "L", "swelling", "present"),
        ("nose", "N", "normal", "present"),
    }


@pytest.mark.parametrize(
    "text",
    [
        "Usually his ears are waxy.",
        "My other pig had a lump on the belly.",
        "They told me she had mites.",
        "Ugh, the smell.",
    ],
)
def test_talk_beside_the_matter_says_nothing(text: str, book: Knowledge) -> None:
    assert signs(book, text) == set()


def test_what_another_has_at_a_place_is_not_looked_at_on_the_next(book: Knowledge) -> None:
    note = read_note("Earl's got a torn left ear. Baron's clean.", book=book, pen=("Earl", "Baron"))
    assert ("ear", "L", "normal", "present") not in of(note, "Baron")


def test_nails_left_alone_were_not_looked_at(book: Knowledge) -> None:
    assert signs(book, "Nails I've left, Jean's got the good clippers.") == set()


def test_signs_that_are_gone_are_gone_whoever_they_are(book: Knowledge) -> None:
    said = signs(book, "She had lice in the spring, they're all gone now, skin's clean.")
    assert ("coat", "N", "lice", "absent") in said
    assert ("skin", "N", "normal", "present") in said


def test_who_coughs_beside_the_animal_does_not_make_it_cough(book: Knowledge) -> None:
    said = signs(book, "Sorry, that's me coughing, not him. Chest is clear, no wheeze.")
    assert not any(code == "coughing" for _, _, code, _ in said)


def test_a_tilt_is_to_the_side_that_is_said(book: Knowledge) -> None:
    assert signs(book, "Head's tilted to the left.") == {("head", "L", "head_tilt", "present")}
