"""What holds of the second reading whatever it has learned."""

import random
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cavyround.engines.spoken import ReadNote, Span, read_note, red_flags
from cavyround.engines.spoken.trained import second_reading
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.trained import trained_weights
from tests.engines.spoken.test_properties import ALARMS, nonsense

BOOK = load_knowledge()
TRAINED = trained_weights()
WORDS = [
    "left",
    "right",
    "eye",
    "ear",
    "nose",
    "no",
    "not",
    "a",
    "bit",
    "of",
    "scab",
    "crusty",
    "lump",
    "clean",
    "fine",
    "weight",
    "seven",
    "eighty",
    "biscuit",
    "clover",
    "she",
    "he",
    "his",
    "nails",
    "done",
    "might",
    "be",
    "last",
    "week",
    "if",
    "smells",
    "belly",
    "soft",
    "and",
    ",",
    ".",
]


def read(text: str, checking: str = "") -> ReadNote:
    return read_note(text, book=BOOK, checking=checking, trained=TRAINED)


def spans_of(note: ReadNote) -> list[Span]:
    spans = [span for animal in note.animals for one in animal.findings for span in one.spans]
    spans += [span for animal in note.animals for one in animal.care for span in one.spans]
    spans += [span for animal in note.animals for ask in animal.asks for span in ask.spans]
    spans += [span for flag in note.red_flags for span in flag.spans]
    return spans + [one.span for one in note.words]


@settings(max_examples=60)
@given(
    st.one_of(st.text(max_size=200), st.lists(st.sampled_from(WORDS), max_size=60).map(" ".join))
)
def test_any_text_is_read_without_a_fault_and_every_place_is_in_it(text: str) -> None:
    for checking in ("", "Fudge"):
        note = read(text, checking)
        assert all(0 <= one.start < one.end <= len(text) for one in spans_of(note))


@settings(max_examples=40)
@given(st.lists(st.sampled_from(WORDS), min_size=1, max_size=40).map(" ".join))
def test_the_same_words_are_read_the_same_every_time(text: str) -> None:
    assert read(text) == read(text)


@settings(max_examples=60)
@given(st.lists(st.sampled_from(WORDS), min_size=1, max_size=40).map(" ".join))
def test_every_finding_points_to_words_and_those_are_shown_as_used(text: str) -> None:
    note = read(text)
    used = {word.span for word in note.words if word.used}
    for animal in note.animals:
        said = [one.spans for one in animal.findings] + [one.spans for one in animal.care]
        assert all(said)
        for span in (span for spans in said for span in spans):
            assert any(span.start <= word.start and word.end <= span.end for word in used)


@settings(max_examples=60)
@given(st.lists(st.sampled_from(WORDS), min_size=1, max_size=40).map(" ".join))
def test_a_unit_is_never_put_where_none_was_said(text: str) -> None:
    """None of these words is a unit; a weight on the scales alone is read as grams."""
    for animal in read(text).animals:
        assert all(care.unit is None for care in animal.care)
        assert all(one.unit in (None, "g") or one.finding != "weight" for one in animal.findings)


@pytest.mark.parametrize(("alarm", "finding"), ALARMS)
def test_no_alarm_of_the_rules_is_lost(book: Knowledge, alarm: str, finding: str) -> None:
    for said in (alarm, f"Eyes clear. {alarm} Nails done.", alarm.lower().rstrip(".")):
        ruled = {one.finding for one in red_flags(said, book=book, checking="Fudge")}
        note = read(said, "Fudge")
        assert finding in ruled <= {one.finding for one in note.red_flags}
        # What the screen tells of stands in the list that is kept.
        assert ruled <= {one.finding for animal in note.animals for one in animal.findings}


def test_five_thousand_words_of_nonsense_give_nothing() -> None:
    assert not any(one.findings or one.care for one in read(nonsense(5000)).animals)


def test_a_text_too_long_for_it_is_read_by_the_rules(book: Knowledge) -> None:
    text = "Left ear waxy. " * second_reading.MOST_WORDS
    assert read(text) == read_note(text, book=book)


@pytest.mark.parametrize(
    "text",
    [
        "Das Meerschweinchen hat heute gut gefressen, Augen klar, Nase trocken, sehr munter.",
        "El cuy come bien, los ojos están limpios, no tiene secreción, sin diarrhea, muy bien.",
        "Le cochon d'Inde mange bien, les yeux sont clairs, pas d'écoulement, la peau est sèche.",
        "豚鼠今天吃得很好。",
        "🐹🐹😀 ❤️ 👀 👍🏽 🚫",
    ],
)
def test_other_languages_give_no_finding(text: str) -> None:
    assert all(not one.findings for one in read(text).animals)


def test_what_names_nobody_is_said_of_the_animal_on_the_table() -> None:
    note = read("left ear waxy, nose dry, six hundred and four", "Fudge")
    assert [animal.name for animal in note.animals] == ["Fudge"]
    assert {one.finding for one in note.animals[0].findings} == {"wax", "normal", "weight"}


def test_a_recording_is_read_like_its_words() -> None:
    recording = (
        "WEBVTT\n\n00:00.000 --> 00:04.000\nLeft ear waxy, nose dry.\n\n"
        "00:04.000 --> 00:06.000\nSix hundred and four.\n"
    )
    plain = "Left ear waxy, nose dry. Six hundred and four."
    found = [
        {(one.region, one.finding, one.value) for one in read(text, "Fudge").animals[0].findings}
        for text in (recording, plain)
    ]
    assert found[0] == found[1]


def test_filler_moves_the_places_and_nothing_else() -> None:
    said = "Left ear waxy, nose dry."
    plain = {(one.region, one.side, one.finding) for one in read(said, "Fudge").animals[0].findings}
    for filler in ("Um. ", "Right then. ", "Okay. "):
        note = read(filler + said, "Fudge")
        assert {(one.region, one.side, one.finding) for one in note.animals[0].findings} == plain
        waxy = next(one for one in note.animals[0].findings if one.finding == "wax")
        assert any((filler + said)[s.start : s.end] == "waxy" for s in waxy.spans)


def test_the_order_of_notes_in_a_row_changes_nothing() -> None:
    """Nothing is kept from one text to the next."""
    notes = ["Left eye weepy.", "Nose dry, no sneezing.", "Nails clipped, she was good."]
    alone = [read(one) for one in notes]
    chance = random.Random(5)  # noqa: S311 -- the same order every time
    order = list(range(len(notes)))
    chance.shuffle(order)
    again = {at: read(notes[at]) for at in order}
    assert [again[at] for at in range(len(notes))] == alone


def test_a_name_of_two_words_is_the_same_animal_when_half_of_it_is_said() -> None:
    note = read("This is Maple Syrup, nose dry. Maple isn't stiff, Maple's ears are clean.")
    assert [animal.name for animal in note.animals] == ["Maple Syrup"]


def test_a_name_inside_another_word_is_no_name() -> None:
    note = read("rosette on the back is flaky, left ear waxy", "Rose")
    assert [animal.name for animal in note.animals] == ["Rose"]


def found(note: ReadNote, name: str) -> dict[str, str]:
    """Each finding of an animal and how it stands."""
    animal = note.of(name)
    return {one.finding: one.status.value for one in (animal.findings if animal else ())}


@pytest.mark.parametrize(
    ("text", "finding"),
    [
        ("Biscuit and Clover: no droppings since last night.", "none_passed"),
        ("Biscuit: diarrhoea, watery. Clover: diarrhoea, watery.", "diarrhoea"),
    ],
)
def test_an_emergency_of_each_of_two_animals_is_told_of_each(text: str, finding: str) -> None:
    pen = ["Biscuit", "Clover"]
    ruled = read_note(text, book=BOOK, pen=pen, checking="Biscuit")
    note = read_note(text, book=BOOK, pen=pen, checking="Biscuit", trained=TRAINED)
    of_rules = {(flag.animal, flag.finding) for flag in ruled.red_flags}
    assert {name for name, said in of_rules if said == finding} == set(pen)
    assert of_rules <= {(flag.animal, flag.finding) for flag in note.red_flags}
    assert all(found(note, name).get(finding) != "absent" for name in pen)
    assert all(finding in found(note, name) for name in pen)


@pytest.mark.parametrize(
    ("text", "finding"),
    [
        ("No diarrhoea. Oh, actually there is diarrhoea.", "diarrhoea"),
        ("No blood in the urine this morning. Now there is blood in the urine.", "blood"),
        ("Left eye not bulging. Right, look again, the left eye might be bulging.", "bulging"),
    ],
)
def test_a_denial_that_is_taken_back_does_not_stay(text: str, finding: str) -> None:
    assert found(read(text, "Fudge"), "Fudge")[finding] != "absent"


def test_two_medicines_are_two_doses() -> None:
    note = read("Gave him 0.2 ml of meloxicam. He also had 0.4 ml of enrofloxacin.", "Fudge")
    [fudge] = note.animals
    given = {(one.product, str(one.value)) for one in fudge.care if one.care == "medicine_dose"}
    assert given == {("meloxicam", "0.2"), ("enrofloxacin", "0.4")}


@pytest.mark.parametrize(
    ("name", "mate", "text"),
    [
        ("Honey", "Clover", "Coat the colour of honey, left ear waxy. Clover is next."),
        ("Rose", "Rose-Marie", "Left ear waxy. Rose-Marie is next."),
        ("Mr. T.", "Clover", "Left ear waxy. Clover is next."),
    ],
)
def test_the_animal_on_the_table_keeps_what_is_said_before_its_mate_is_named(
    name: str, mate: str, text: str
) -> None:
    note = read_note(text, book=BOOK, pen=[name, mate], checking=name, trained=TRAINED)
    assert "wax" in found(note, name)
    assert "wax" not in found(note, mate)


def test_a_number_beyond_measure_is_no_fault(book: Knowledge) -> None:
    text = f"lost 1{'0' * 40} grams"
    assert not any(one.findings for one in read(text, "Fudge").animals)
    assert not any(one.findings for one in read_note(text, book=book).animals)


def test_a_score_beyond_its_scale_is_none() -> None:
    assert "body_condition" not in found(read("Body condition 8.", "Fudge"), "Fudge")


def test_words_of_many_pieces_are_left_to_the_rules(book: Knowledge) -> None:
    text = "xqzvbkjwpyq " * 3000
    assert read(text) == read_note(text, book=book)


@pytest.mark.parametrize(
    ("text", "given"),
    [
        (
            "Biscuit and Clover both had meloxicam, Biscuit 0.2 ml and Clover 0.3 ml.",
            {"Biscuit": ("meloxicam", "0.2", "ml"), "Clover": ("meloxicam", "0.3", "ml")},
        ),
        (
            "Pip had 0.2 ml of meloxicam and Dot 0.3.",
            {"Pip": ("meloxicam", "0.2", "ml"), "Dot": ("meloxicam", "0.3", None)},
        ),
        (
            "They both had the antibiotic, Agate a quarter mil, Flint point three.",
            {"Agate": ("", "0.25", "ml"), "Flint": ("", "0.3", None)},
        ),
        (
            "Pip, 3 years old, had 0.3 ml of meloxicam and Dot, 2 years old, had 0.2 ml.",
            {"Pip": ("meloxicam", "0.3", "ml"), "Dot": ("meloxicam", "0.2", "ml")},
        ),
        (
            "Pip had 0.3 ml of meloxicam.\nDot had meloxicam 0.2 ml.\nPip, 3 months on, is bright.",
            {"Pip": ("meloxicam", "0.3", "ml"), "Dot": ("meloxicam", "0.2", "ml")},
        ),
        (
            "Pip refused her vitamin C, Dot had half a mil of vitamin C, one bit of pepper each.",
            {"Pip": None, "Dot": ("", "0.5", "ml")},
        ),
        (
            "Gave Pip and Dot their vitamin C, half a mil each.",
            {"Pip": ("", "0.5", "ml"), "Dot": ("", "0.5", "ml")},
        ),
    ],
)
def test_each_animal_has_the_amount_told_with_its_name(
    text: str, given: dict[str, tuple[str, str, str | None] | None], book: Knowledge
) -> None:
    note = read_note(text, book=book, trained=trained_weights())
    read = {
        one.name: [
            (care.product, str(care.value), care.unit)
            for care in one.care
            if care.value is not None
        ]
        for one in note.animals
    }
    assert read == {name: [one] if one else [] for name, one in given.items()}
    # A dose without a unit stays without one and is asked for, of that animal alone.
    asked = {one.name for one in note.animals if any(ask.kind == "dose_unit" for ask in one.asks)}
    assert asked == {name for name, one in given.items() if one and one[2] is None}


PUPS = "Two of Tilda's pups. Big one one hundred and seven, small one seventy eight and shivery."


def test_an_alarm_that_belongs_to_another_is_not_told_of_both(book: Knowledge) -> None:
    note = read_note(PUPS, book=book, trained=trained_weights())
    shaking = [
        one.name for one in note.animals if any(f.finding == "shaking" for f in one.findings)
    ]
    assert len(shaking) == 1


def test_one_after_a_look_is_an_animal_and_no_number(book: Knowledge) -> None:
    note = read_note(PUPS, book=book, trained=trained_weights())
    weights = {f.grams for one in note.animals for f in one.findings if f.finding == "weight"}
    assert weights == {Decimal(107), Decimal(78)}


@pytest.mark.parametrize(
    ("text", "given"),
    [
        (
            "Pip. Metacam nought point three mil probiotic two mil.",
            {("medicine_dose", "0.3", "ml"), ("probiotic", "2", "ml")},
        ),
        (
            "Pip. I put two mil of gut stuff in him and the meloxicam, nought point four.",
            {("medicine_dose", "0.4", None), ("probiotic", "None", None)},
        ),
        (
            "Nought point three mil for Pip this morning of her metacam, two mil of probiotic too.",
            {("medicine_dose", "0.3", "ml"), ("probiotic", "2", "ml")},
        ),
        ("Pip had 0,3 ml metacam.", {("medicine_dose", "0.3", "ml")}),
        ("Pip had a quarter of a mil of metacam.", {("medicine_dose", "0.25", "ml")}),
    ],
)
def test_each_medicine_has_its_own_amount(
    text: str, given: set[tuple[str, str, str | None]], book: Knowledge
) -> None:
    note = read_note(text, book=book, trained=trained_weights())
    [pip] = note.animals
    assert {(one.care, str(one.value), one.unit) for one in pip.care} == given


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("Dolly, thirty one ounces. Opal, thirty three.", {"Dolly": "878.8", "Opal": "935.5"}),
        (
            "Kev, one point one two kilos. Macca, one point oh eight.",
            {"Kev": "1120", "Macca": "1080"},
        ),
        ("Pip seven eighty. Dot twenty six.", {"Pip": "780"}),
        ("Pip, the big one, two point two pounds.", {"Pip": "997.9"}),
    ],
)
def test_a_weight_goes_on_in_the_unit_before_it_and_is_no_number_of_another_thing(
    text: str, grams: dict[str, str], book: Knowledge
) -> None:
    """International pound of 453.59237 g, by hand."""
    note = read_note(text, book=book, trained=trained_weights())
    read = {
        one.name: f.grams for one in note.animals for f in one.findings if f.finding == "weight"
    }
    assert read == {name: Decimal(value) for name, value in grams.items()}


def test_figures_without_end_are_no_number(book: Knowledge) -> None:
    note = read_note(f"Pip weighs {'9' * 5000} grams", book=book, trained=trained_weights())
    assert [f for one in note.animals for f in one.findings] == []


@pytest.mark.parametrize("told", ["can have", "will have", "is to have"])
def test_a_dose_still_to_come_is_not_shown_as_given(told: str, book: Knowledge) -> None:
    note = read_note(f"Pip {told} 0.2 ml of metacam at six.", book=book, trained=trained_weights())
    assert {c.status for one in note.animals for c in one.care} == {"planned"}
