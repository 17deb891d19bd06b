"""What happened, as it is told in passing: another animal did it, or another one has it."""

import pytest

from cavyround.engines.spoken import read_note, red_flags
from cavyround.engines.spoken.telling import events_in
from cavyround.knowledge.book import Knowledge


@pytest.mark.parametrize(
    "said",
    [
        "The neighbour's cat had him in its mouth for a second, we got him straight back",
        "The neighbor's cat had him",
        "Next door's cat grabbed her",
        "He was in the dog's mouth",
        "our puppy had hold of her",
        "our terrier picked her up",
    ],
)
def test_a_cat_or_dog_that_had_it_is_heard_whoever_it_belongs_to(
    said: str, book: Knowledge
) -> None:
    assert "dog_or_cat" in events_in(said, book)


@pytest.mark.parametrize("said", ["no cat has had him", "We have a cat but it has never had him"])
def test_a_cat_that_had_nothing_is_none(said: str, book: Knowledge) -> None:
    assert "dog_or_cat" not in events_in(said, book)


@pytest.mark.parametrize(
    "said",
    [
        "His cagemate's culture came back ringworm positive yesterday",
        "cage mate tested positive for ringworm",
        "her sister has ringworm",
        "his brother has got ringworm",
    ],
)
def test_a_mate_with_ringworm_is_a_contact(said: str, book: Knowledge) -> None:
    assert "contact_ringworm" in events_in(said, book)


@pytest.mark.parametrize(
    ("said", "finding"),
    [
        ("fly eggs I should think, none of them moving", "fly_eggs"),
        ("maggots, not one of them dead", "maggots"),
    ],
)
def test_what_none_of_them_does_denies_nothing_of_their_being_there(
    said: str, finding: str, book: Knowledge
) -> None:
    assert (finding, "present") in {
        (one.finding, str(one.status))
        for animal in read_note(said, book=book).animals
        for one in animal.findings
    }
    assert red_flags(said, book=book, checking="Fudge")


@pytest.mark.parametrize(
    ("said", "event"),
    [
        ("She gave birth this morning, her last litter was fine", "gave_birth"),
        ("She gave birth this morning her last litter was fine", "gave_birth"),
        ("Gave birth, her previous litter had none dead", "gave_birth"),
        ("Lost two pups today, stillborn, previous litter was fine", "abortion"),
        ("Miscarried this time, not like last time", "abortion"),
        ("Miscarried, not like last time", "abortion"),
        ("Three pups, the last one stillborn", "abortion"),
    ],
)
def test_an_earlier_litter_beside_it_hides_no_birth(said: str, event: str, book: Knowledge) -> None:
    assert event in events_in(said, book)


@pytest.mark.parametrize(
    "said",
    [
        "One stillborn in her last litter",
        "One stillborn in her last litter, none in this one",
        "In her last litter, one stillborn",
        "Two stillborn, all in her last litter",
        "Gave birth last year",
    ],
)
def test_an_earlier_litter_is_no_birth_of_now(said: str, book: Knowledge) -> None:
    assert not {"gave_birth", "abortion"} & set(events_in(said, book))


@pytest.mark.parametrize(
    "said",
    [
        "Leg squashed under a brick",
        "Foot squashed under a brick",
        "Squashed in the cage door",
        "squashed by a falling board",
    ],
)
def test_a_squashed_leg_is_no_dropping(said: str, book: Knowledge) -> None:
    assert "fall_or_blow" in events_in(said, book)


@pytest.mark.parametrize("said", ["a couple of squashed ones", "under his tail squashed droppings"])
def test_squashed_droppings_are_no_blow(said: str, book: Knowledge) -> None:
    assert "fall_or_blow" not in events_in(said, book)


@pytest.mark.parametrize(
    "said", ["she is neutered this morning", "he is castrated today", "neutered this morning"]
)
def test_what_was_done_this_morning_is_no_state(said: str, book: Knowledge) -> None:
    assert "surgery" in events_in(said, book)


@pytest.mark.parametrize("said", ["she is neutered", "A neutered boar", "She's spayed"])
def test_being_neutered_is_no_surgery_of_now(said: str, book: Knowledge) -> None:
    assert "surgery" not in events_in(said, book)
