"""How words are cut into the pieces the network knows."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.engines.spoken.trained.pieces import MOST_PIECES, pieces_of
from cavyround.knowledge.trained import trained_weights

# The vocabulary and the two words of the test that came with the first WordPiece of this kind
# (Devlin et al., BERT, 2018, tokenization test); from memory.
PUBLISHED = ["[UNK]", "[CLS]", "[SEP]", "want", "##want", "##ed", "wa", "un", "runn", "##ing"]
KNOWN = {piece: at for at, piece in enumerate(PUBLISHED)}


@pytest.mark.parametrize(
    ("word", "pieces"),
    [
        ("unwanted", ["un", "##want", "##ed"]),
        ("running", ["runn", "##ing"]),
        ("unwantedX", ["[UNK]"]),
    ],
)
def test_the_published_example_is_cut_as_published(word: str, pieces: list[str]) -> None:
    assert pieces_of(word, KNOWN) == [KNOWN[piece] for piece in pieces]


def test_a_curly_apostrophe_and_an_accent_make_no_other_word() -> None:
    known = trained_weights().pieces
    assert pieces_of("she’s", known) == pieces_of("she's", known)  # noqa: RUF001 -- as phones write
    assert pieces_of("Pâté", known) == pieces_of("pate", known)


@given(st.text(min_size=1, max_size=40))
def test_any_word_is_cut_into_known_pieces(word: str) -> None:
    known = trained_weights().pieces
    pieces = pieces_of(word, known)
    assert 0 < len(pieces) <= MOST_PIECES
    assert set(pieces) <= set(known.values())
