"""Who has no name is called by what is said of its looks, the same animal always alike.

The forms of the names ("pup 1", "group: …", "unnamed …") are those of the worked notes; which words
tell of whom is common practice, no source.
"""

import pytest

from cavyround.engines.spoken.tokens import tokens_of
from cavyround.engines.spoken.trained.naming import Naming
from cavyround.knowledge.book import Knowledge


def named(text: str, *said: str, book: Knowledge, pen: tuple[str, ...] = ()) -> list[str]:
    """What each of the words that name somebody, in the order of the text, is called."""
    tokens = tokens_of(text)
    spans: list[tuple[int, int]] = []
    for words in said:
        start = text.index(words, tokens[spans[-1][1] - 1].span.end if spans else 0)
        within = [
            at
            for at, token in enumerate(tokens)
            if token.span.start < start + len(words) and token.span.end > start
        ]
        spans.append((within[0], within[-1] + 1))
    names: list[str] = []
    naming = Naming(tokens, pen, names, book.words.described)
    for at, (begin, end) in enumerate(spans):
        names.append(naming.name_of(begin, end, "", spans[at + 1 : at + 2]))
    return names


@pytest.mark.parametrize(
    ("text", "said", "called"),
    [
        (
            "Three pups off Saltbush. The ginger one's sixty eight. The black one seventy four. "
            "The ginger one is a girl.",
            ("Saltbush", "The ginger one", "The black one", "The ginger one"),
            ["Saltbush", "pup 1", "pup 2", "pup 1"],
        ),
        (
            "Her pups. Number one, a hundred and two. Number two, ninety six. The second is a boy.",
            ("Number one", "Number two", "The second"),
            ["pup 1", "pup 2", "pup 2"],
        ),
        (
            "Clementine had hers at four. Mum first, milk both sides.",
            ("Clementine", "Mum"),
            ["Clementine", "Mum"],
        ),
        (
            "Clementine had three pups at four. Mum first, milk both sides.",
            ("Clementine", "Mum"),
            ["Clementine", "Clementine"],
        ),
        ("Two pups. Mum's Hazel, no bleeding.", ("Mum", "Hazel"), ["Hazel", "Hazel"]),
        (
            "New guy, no name on the box, a brown and white boar.",
            ("New guy", "brown and white boar"),
            ["unnamed guy", "unnamed guy"],
        ),
        ("All three have clear eyes.", ("All three",), ["group: all three"]),
        ("The other two are fine.", ("The other two",), ["group: the other two"]),
        ("Ginger is eating. Brown too.", ("Ginger", "Brown"), ["Ginger", "Brown"]),
        ("General Custer, he'll be Custer.", ("General Custer", "Custer"), ["General Custer"] * 2),
        (
            "Potato two pounds eight. Other Potato two pounds five. Other Potato is fine.",
            ("Potato", "Other Potato", "Other Potato"),
            ["Potato", "Other Potato", "Other Potato"],
        ),
        (
            "Sweet Potato, Yams for short. Yams is fine.",
            ("Sweet Potato", "Yams"),
            ["Sweet Potato", "Sweet Potato"],
        ),
        (
            "Three bubs, no names yet. Black, a hundred and two. Ginger, ninety nine.",
            ("Black", "Ginger"),
            ["pup 1", "pup 2"],
        ),
        ("Old lady Ruth is blind. Ruth has no discharge.", ("Old lady Ruth", "Ruth"), ["Ruth"] * 2),
        (
            "All five in the nursery pen, eating.",
            ("All five in the nursery pen",),
            ["group: all five in the nursery pen"],
        ),
        ("spuds feet are good but spud reeks", ("spuds", "spud"), ["spud", "spud"]),
        ("whiskers has wax", ("whiskers",), ["whiskers"]),
    ],
)
def test_each_is_called_as_it_is_told_of(
    text: str, said: tuple[str, ...], called: list[str], book: Knowledge
) -> None:
    assert named(text, *said, book=book) == called


@pytest.mark.parametrize(
    ("text", "said", "called"),
    [
        (
            "Biscuit is 900 grams. Mum is Hazel, she had pups. Mum's not eating.",
            ("Biscuit", "Mum", "Hazel", "Mum"),
            ["Biscuit", "Hazel", "Hazel", "Hazel"],
        ),
        (
            "Biscuit is fine. Then Hazel, she had three pups. Mum is bleeding.",
            ("Biscuit", "Hazel", "Mum"),
            ["Biscuit", "Hazel", "Hazel"],
        ),
        (
            "Pup 2 is 85 grams. Pup 1 is limp. Pup 3 is 70 grams.",
            ("Pup 2", "Pup 1", "Pup 3"),
            ["pup 2", "pup 1", "pup 3"],
        ),
        (
            "Three pups. The black and white one is 90 grams. The black one is 85 grams.",
            ("The black and white one", "The black one"),
            ["pup 1", "pup 2"],
        ),
        (
            "The new boar is 900 grams. The ginger sow is 700 grams.",
            ("The new boar", "The ginger sow"),
            ["unnamed boar", "unnamed ginger sow"],
        ),
        (
            "Three pups. The first one is 90 grams. Black one is 80 grams. The first one is limp.",
            ("The first one", "Black one", "The first one"),
            ["pup 1", "pup 2", "pup 1"],
        ),
        (
            "Had two pups. The pup is 80 grams. The pup is limp.",
            ("The pup", "The pup"),
            ["pup 1", "pup 1"],
        ),
        (
            "First old Ruth, 980 grams. Then young Ruth, 700 grams.",
            ("old Ruth", "young Ruth"),
            ["old Ruth", "young Ruth"],
        ),
        (
            "We have big Dot at 980. Little Dot is 640.",
            ("Dot", "Little Dot"),
            ["big Dot", "Little Dot"],
        ),
        (
            "Sweet Potato is 900. Dot is 850. Sweet Potato, Yams for short, has a scab. Yams eats.",
            ("Sweet Potato", "Dot", "Sweet Potato", "Yams", "Yams"),
            ["Sweet Potato", "Dot", "Sweet Potato", "Sweet Potato", "Sweet Potato"],
        ),
    ],
)
def test_no_two_animals_become_one(
    text: str, said: tuple[str, ...], called: list[str], book: Knowledge
) -> None:
    assert named(text, *said, book=book) == called


def test_a_name_of_the_pen_is_called_as_the_pen_has_it(book: Knowledge) -> None:
    text = "Snags has red feet."
    assert named(text, "Snags", book=book, pen=("Old Snags",)) == ["Old Snags"]
