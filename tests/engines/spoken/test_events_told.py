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
