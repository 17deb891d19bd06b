"""Families of everyday words, heard only in a case told place by place.

What is expected is common practice, no source, unless a source is named beside it.
"""

import pytest

from cavyround.commands.told_cases import ToldCase, coded
from cavyround.commands.triage import told_answer
from cavyround.engines.spoken.lexicon import lexicon_of
from cavyround.engines.spoken.telling import read_region, read_told
from cavyround.engines.spoken.tokens import tokens_of
from cavyround.engines.spoken.told_words import told_words_of, words_at
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.phrases import few_ways_a_part

NOT_EATING = [
    "Hasn't so much as sniffed at her breakfast",
    "Rack's exactly as I filled it, pepper gone wrinkly in the dish",
    "Turned his nose up at everything",
    "No thanks to everything since dinner",
    "Walked straight past his supper",
    "Let the cucumber rest against his lip",
    "Won't be tempted, not even for dandelions",
    "Nothing has gone in since yesterday",
]
EATS = [
    "Never misses a meal",
    "Never known to refuse",
    "Eats like a horse",
    "Hollers for seconds",
    "Cleared her plate",
    "Straight into the hay rack",
]
CHOOSY = [
    "Ignoring her hay",
    "Half her pellets left behind",
    "Not eating as much as usual",
    "Picking at his greens",
    "Gone off his pellets",
]


def told(region: str, words: str, book: Knowledge) -> set[tuple[str, str, str]]:
    read = read_told({region: words}, also="", duration="", book=book)
    return {(one.region, one.finding, one.status.value) for one, _ in read.findings}


@pytest.mark.parametrize("words", NOT_EATING)
def test_food_in_general_or_a_favourite_refused_is_not_eating(words: str, book: Knowledge) -> None:
    assert ("appetite", "not_eating", "present") in told("appetite", words, book)


@pytest.mark.parametrize("words", CHOOSY)
def test_one_food_left_or_less_taken_is_eating_less(words: str, book: Knowledge) -> None:
    read = told("appetite", words, book)
    assert ("appetite", "eating_less", "present") in read
    assert ("appetite", "not_eating", "present") not in read


@pytest.mark.parametrize("words", EATS)
def test_never_refusing_is_eating(words: str, book: Knowledge) -> None:
    assert told("appetite", words, book) == {("appetite", "eating_normally", "present")}


@pytest.mark.parametrize(
    ("region", "words", "finding"),
    [
        ("droppings", "No sweeping to do this morning", "none_passed"),
        ("droppings", "Turned over the whole bed and never found a single bean", "none_passed"),
        ("droppings", "Fleece is spotless", "none_passed"),
        ("droppings", "Pouring out like gravy", "diarrhoea"),
        ("droppings", "No bigger than grains of rice", "small"),
        ("urine", "Fleece still bone dry", "none_passed"),
        ("urine", "Like watered-down blackcurrant", "blood"),
        ("urine", "Squats and strains and nothing comes", "none_passed"),
        ("breathing", "Sides pumping like bellows", "laboured"),
        ("breathing", "Mouth hanging open gulping", "open_mouth"),
        ("whole", "Lay along my arm like an empty sleeve", "collapsed"),
        ("whole", "Spread out like a bath mat", "collapsed"),
        ("whole", "Lift a paw and it just drops", "collapsed"),
        ("whole", "Back up like a camel", "hunched"),
        ("whole", "Feet pedalling like a clockwork mouse", "fits"),
        ("ear", "Like tomatoes out of the fridge", "cold"),
        ("ear", "Would near burn you", "hot"),
        ("coat", "Small straw-coloured things run for it when I part the hair", "lice"),
        ("penis", "Been out since breakfast, won't tuck in with oil", "stuck_out"),
        ("anus", "Alive with little white grubs", "maggots"),
        ("eye", "A pale fleck on the front of it", "eye_spot"),
        ("eye", "Gone milky white in the middle", "lens_cloudy"),
        ("mouth", "Smelt like a nail bar", "smell"),
    ],
)
def test_what_is_told_in_a_picture_is_understood(
    region: str, words: str, finding: str, book: Knowledge
) -> None:
    assert finding in {one[1] for one in told(region, words, book) if one[2] == "present"}


@pytest.mark.parametrize(
    ("region", "words", "finding"),
    [
        ("eye", "Two ticks later it is away", "tick"),
        ("eye", "Wide open, rims not pink", "pale"),
        ("urine", "Pale as weak squash", "lethargic"),
        ("urine", "Dries to a rusty stain", "blood"),
        ("ear", "Thin and bendy and warm", "hot"),
        ("nails", "You can hear him clicking across the lino", "noisy"),
        ("belly", "Big, pups wriggling", "bloated"),
        ("whole", "Washing three little ones", "small"),
        ("hind_foot", "Pink and dry, no scabs", "dry"),
        ("hind_foot", "Smooth and pale", "pale"),
    ],
)
def test_what_only_sounds_like_a_sign_is_none(
    region: str, words: str, finding: str, book: Knowledge
) -> None:
    assert finding not in {one[1] for one in told(region, words, book) if one[2] == "present"}


def test_a_lump_that_was_not_there_on_monday_is_there_now(book: Knowledge) -> None:
    read = told("neck", "Hard lump under the jaw. Wasn't there on Monday", book)
    assert {one[1:] for one in read} >= {("lump", "present")}


@pytest.mark.parametrize(
    ("history", "event"),
    [
        ("She's spayed", "surgery"),
        ("Mum had one stillborn in her last litter", "abortion"),
        ("A scab came off at the weekend", "fall_or_blow"),
    ],
)
def test_a_state_or_another_birth_is_nothing_that_happened(
    history: str, event: str, book: Knowledge
) -> None:
    assert event not in read_told({"history": history}, also="", duration="", book=book).events


def test_an_operation_of_a_day_is_one(book: Knowledge) -> None:
    told_of = read_told({"history": "Was spayed four days ago"}, also="", duration="", book=book)
    assert "surgery" in told_of.events


def test_a_leg_that_is_put_down_bears_weight(book: Knowledge) -> None:
    read = read_told({"hind_leg": "Limping but puts it down"}, also="", duration="", book=book)
    assert [one.kinds for one, _ in read.findings if one.finding == "limp"] == [{"bears_weight"}]
    read = read_told({"hind_leg": "Limping, won't put it down"}, also="", duration="", book=book)
    assert "bears_weight" not in {kind for one, _ in read.findings for kind in one.kinds}


def test_a_family_is_heard_only_at_its_place_and_never_in_a_note(book: Knowledge) -> None:
    tokens = tokens_of("like a bath mat")
    assert lexicon_of(book).longest(tokens, 0) is None
    assert words_at("whole", book).longest(tokens, 0) is not None
    assert words_at("nails", book).longest(tokens, 0) is None


def test_the_longest_way_of_saying_a_family_is_taken(book: Knowledge) -> None:
    tokens = tokens_of("never found a single bean on the fleece")
    mark = told_words_of(book).longest_at("droppings", tokens, 0)
    assert mark is not None
    assert mark.code("sign") == "none_passed"
    assert mark.end == len(["never", "found", "a", "single", "bean"])


def test_only_the_ways_of_one_part_are_counted() -> None:
    family = " ".join(["(a|b|c|d|e|f|g|h|i|j)"] * 9)
    assert few_ways_a_part(family) == family
    with pytest.raises(ValueError, match="ways"):
        few_ways_a_part("(" + family + "|x)")


def test_what_is_not_understood_of_eating_is_asked_and_not_raised(book: Knowledge) -> None:
    words = "Blethers and bumbaze the hale forenoon"
    read = coded(ToldCase(id="told", findings={"appetite": words, "whole": "Bright"}), book)
    answer = told_answer(read.case, read.told, book)
    assert answer["urgency"] == "carer_recheck"
    assert answer["not_understood"] == [words]
    assert "If it eats nothing, ring the vet now." in answer["text"]
    read = coded(ToldCase(id="told", findings={"appetite": "Eating", "whole": "Bright"}), book)
    assert "ring the vet now" not in told_answer(read.case, read.told, book)["text"]


def test_small_words_without_end_are_read_and_end_a_phrase(book: Knowledge) -> None:
    phrase = words_at("breathing", book)
    few = tokens_of("like a the a fish out of the water")
    many = tokens_of("like " + "the " * 5 + "fish out of water")
    assert (mark := phrase.longest(few, 0)) is not None
    assert mark.end == len(few)
    assert phrase.longest(many, 0) is None
    assert not read_region("breathing", "not " + "the " * 3000, book=book).findings
