"""The rules for turning a note into findings, each as a carer would state it."""

import pytest

from cavyround.engines.spoken import as_gold, read_note
from cavyround.engines.spoken.coverage import STEPS
from cavyround.knowledge.book import Knowledge
from tests.engines.spoken.said import care, grams, of, signs

NORMAL = "normal"


def test_only_now_counts(book: Knowledge) -> None:
    assert signs(book, "Last month he had lice.") == set()
    said = signs(book, "Last week she had diarrhoea, that's all cleared up.")
    assert said == {("droppings", "N", "diarrhoea", "absent")}


def test_the_last_word_wins(book: Knowledge) -> None:
    said = signs(book, "Crust on her left ear, no sorry, right ear.")
    assert said == {("ear", "R", "crust", "present")}
    assert grams(book, "Nine eighty, sorry, nine eighteen.") == [918]


def test_a_negation_covers_its_list_and_ends_at_a_new_subject(book: Knowledge) -> None:
    said = signs(book, "Eyes: no crusts, discharge or swelling, but the left ear is red.")
    assert said == {
        ("eye", "B", "crust", "absent"),
        ("eye", "B", "discharge", "absent"),
        ("eye", "B", "swelling", "absent"),
        ("ear", "L", "red", "present"),
    }


def test_no_before_a_measured_thing_reaches_no_further(book: Knowledge) -> None:
    said = signs(book, "Skin: no crusts, a bit of dandruff.")
    assert ("skin", "N", "crust", "absent") in said
    assert ("skin", "N", "flaky", "present") in said


def test_a_list_of_places_is_normal_at_each(book: Knowledge) -> None:
    assert signs(book, "Eyes, ears, nose fine.") == {
        ("eye", "B", NORMAL, "present"),
        ("ear", "B", NORMAL, "present"),
        ("nose", "N", NORMAL, "present"),
    }


@pytest.mark.parametrize("hedge", ["might be", "could be", "maybe", "I think there's"])
def test_a_hedge_is_kept_as_a_doubt(book: Knowledge, hedge: str) -> None:
    assert ("chin", "N", "lump", "uncertain") in signs(book, f"Under the chin {hedge} a lump.")


def test_a_guessed_cause_makes_a_seen_sneeze_no_doubt(book: Knowledge) -> None:
    assert signs(book, "He sneezed twice, probably dust.") == {
        ("breathing", "N", "sneezing", "present")
    }


def test_a_blanket_word_is_no_look(book: Knowledge) -> None:
    animal = read_note("Eyes clear. Rest is fine.", book=book, checking="Fudge").of("Fudge")
    assert animal is not None
    assert animal.blanket
    assert animal.steps_named == ("eyes",)
    assert set(animal.steps_blanket) == set(STEPS) - {"eyes"}
    assert [one.finding for one in animal.findings] == [NORMAL]


def test_what_was_not_mentioned_is_not_covered(book: Knowledge) -> None:
    animal = read_note("Eyes clear.", book=book, checking="Fudge").of("Fudge")
    assert animal is not None
    assert not animal.blanket
    assert set(animal.steps_not_covered) == set(STEPS) - {"eyes"}


def test_a_step_said_to_be_skipped_is_kept_as_that(book: Knowledge) -> None:
    text = "Ears fine. Haven't turned her over so no belly, no feet."
    animal = read_note(text, book=book, checking="Fudge").of("Fudge")
    assert animal is not None
    assert set(animal.steps_skipped) == {"belly", "feet"}
    assert {"belly", "feet"} <= set(animal.steps_not_covered)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Nails done.", ("nail_trim", "N", "done")),
        ("Nails done front only.", ("nail_trim", "N", "partly")),
        ("Didn't do her nails.", ("nail_trim", "N", "not_done")),
        ("Nails are long, haven't cut them, will do Sunday.", ("nail_trim", "N", "planned")),
        ("I've rung the vet.", ("vet_call", "N", "done")),
        ("Wiped her left eye.", ("eye_wipe", "L", "done")),
        ("Syringe fed him ten mil.", ("syringe_feed", "N", "done")),
    ],
)
def test_care_is_done_partly_not_or_planned(
    book: Knowledge, text: str, expected: tuple[str, str, str]
) -> None:
    assert expected in care(book, text)


@pytest.mark.parametrize(
    "text",
    [
        "Do guinea pigs get ear mites?",
        "If he stops eating ring the vet.",
        "Watch out for bumblefoot.",
        "Old ones get cataracts and stiff back legs.",
        "People can get itchy bumps from it.",
        "Who's a handsome boy, come on, hold still.",
        "I've got a rash on my wrist.",
        "His brother had ringworm.",
        "That'll be her ovaries I should think.",
    ],
)
def test_what_is_not_said_of_this_animal_gives_nothing(book: Knowledge, text: str) -> None:
    assert signs(book, text) == set()


def test_a_group_statement_is_of_every_named_member(book: Knowledge) -> None:
    text = "Ruby nine hundred, Pearl eight seventy five. No sneezing in the two of them."
    note = read_note(text, book=book)
    for name in ("Ruby", "Pearl"):
        assert ("breathing", "N", "sneezing", "absent") in of(note, name)


def test_a_bare_sex_word_is_no_finding(book: Knowledge) -> None:
    assert signs(book, "She's a lovely sow.") == set()
    assert signs(book, "Definitely a boar.") == {("whole", "N", "sex_male", "present")}


def test_a_name_that_is_a_word_is_no_finding(book: Knowledge) -> None:
    note = read_note("Wheezy isn't wheezy, despite the name.", book=book)
    assert of(note, "Wheezy") == {("breathing", "N", "noisy", "absent")}


def test_a_unit_that_was_not_said_is_asked_for(book: Knowledge) -> None:
    animal = read_note("Gave him nought point three of meloxicam.", book=book, checking="F").of("F")
    assert animal is not None
    [given] = animal.care
    assert (given.product, str(given.value), given.unit) == ("meloxicam", "0.3", None)
    assert [ask.kind for ask in animal.asks] == ["dose_unit"]


def test_each_finding_points_to_its_words_and_each_word_is_used_or_not(book: Knowledge) -> None:
    text = "Left eye weepy. If it gets worse ring the vet."
    note = read_note(text, book=book, checking="Fudge")
    [finding] = note.animals[0].findings
    assert [text[one.start : one.end] for one in finding.spans] == ["Left", "eye", "weepy"]
    assert {text[w.span.start : w.span.end] for w in note.words if w.used} == {
        "Left",
        "eye",
        "weepy",
    }
    assert {w.left_out for w in note.words if not w.used} == {"hypothetical"}


def test_several_animals_keep_their_own(book: Knowledge) -> None:
    note = read_note(
        "Clover seven eighty, left eye weepy. Nettle eight hundred and five.", book=book
    )
    assert ("eye", "L", "watery", "present") in of(note, "Clover")
    assert of(note, "Nettle") == {("whole", "N", "weight", "present")}


def test_an_empty_text_says_nothing(book: Knowledge) -> None:
    assert as_gold(read_note("", book=book)) == []


def test_a_recordings_time_lines_are_no_words(book: Knowledge) -> None:
    text = (
        "WEBVTT\n\n1\n00:00:01.000 --> 00:00:03.000\nLeft eye\n\n"
        "00:00:03.000 --> 00:00:05.500\n<v Anna>weepy, no crust\n"
    )
    note = read_note(text, book=book, checking="Fudge")
    assert of(note, "Fudge") == {("eye", "L", "watery", "present"), ("eye", "L", "crust", "absent")}
    spans = note.animals[0].findings[0].spans
    assert [text[one.start : one.end] for one in spans] == ["Left", "eye", "weepy"]
