"""The names to look for: those of the pen, or words that can only be names."""

from collections.abc import Iterable, Sequence

from cavyround.engines.spoken.lexicon import Lexicon
from cavyround.engines.spoken.names import BEFORE_NAME, Names, lists_names, looks_like_subject
from cavyround.engines.spoken.tokens import Token, tokens_of
from cavyround.knowledge.words import NameWords

TITLES = frozenset(
    {
        "mr",
        "mrs",
        "miss",
        "sir",
        "lady",
        "lord",
        "captain",
        "princess",
        "king",
        "queen",
        "little",
        "big",
        "baby",
        "doctor",
        "dr",
    }
)
SHORTEST = 2
# Written without capitals a shorter word is no name.
SHORTEST_UNMARKED = 3


def names_in(
    tokens: tuple[Token, ...], pen: Sequence[str], lexicon: Lexicon, words: NameWords
) -> Names:
    """The names of the pen, or where none are given, those the text itself shows."""
    cased = any(token.capital and token.word != "i" and not token.heard for token in tokens)
    if pen:
        return _known(pen, lexicon, words, cased=cased)
    found = (
        _found_with_capitals(tokens, lexicon, words)
        if cased
        else _found_in_lower_case(tokens, lexicon, words)
    )
    return _known(found, lexicon, words, cased=cased)


def _known(names: Iterable[str], lexicon: Lexicon, words: NameWords, *, cased: bool) -> Names:
    by_first: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    careful: set[str] = set()
    never = set(words.never)
    for name in dict.fromkeys(names):
        parts = tuple(token.word for token in tokens_of(name) if token.kind in ("word", "number"))
        if not parts:
            continue
        by_first.setdefault(parts[0], []).append((parts, name))
        if len(parts) == 1 and (lexicon.knows(parts[0]) or parts[0] in never):
            careful.add(parts[0])
    for ways in by_first.values():
        ways.sort(key=lambda way: -len(way[0]))
    return Names(by_first, frozenset(careful), cased)


def _found_with_capitals(
    tokens: tuple[Token, ...], lexicon: Lexicon, words: NameWords
) -> list[str]:
    likely = set(words.likely)
    never = set(words.never) - likely
    names: dict[str, None] = {}
    for at, token in enumerate(tokens):
        if token.kind != "word" or not token.capital or token.word in never or token.heard:
            continue
        if len(token.word) < SHORTEST:
            continue
        begins = at == 0 or tokens[at - 1].kind == "stop"
        titled = at > 0 and tokens[at - 1].capital and tokens[at - 1].word in TITLES
        alone = looks_like_subject(tokens, at + 1)
        known = lexicon.knows(token.word)
        if titled:
            names.setdefault(f"{tokens[at - 1].word} {token.word}".title())
        elif not begins and (not known or token.word in likely or alone):
            names.setdefault(token.word.capitalize())
        elif begins and (token.word in likely or (alone and not known)):
            if alone or not known:
                names.setdefault(token.word.capitalize())
        elif (begins and known and (lists_names(tokens, at) or _is_named_for_it(tokens, at))) or (
            begins and alone and known and _has_name_tail(tokens, at)
        ):
            names.setdefault(token.word.capitalize())
    titles = {name.split()[1] for name in names if " " in name}
    return [name for name in names if name not in titles]


def _is_named_for_it(tokens: tuple[Token, ...], at: int) -> bool:
    """ "Itchy's coat", "Lumpy isn't": a describing word as a subject is a name."""
    following = tokens[at + 1].word if at + 1 < len(tokens) else ""
    return tokens[at].word.endswith("y") and (
        tokens[at].tail == "s" or following in ("isnt", "hasnt", "doesnt", "is", "has")
    )


def _has_name_tail(tokens: tuple[Token, ...], at: int) -> bool:
    """Said again as a word right after: "Wheezy isn't wheezy"."""
    following = tokens[at + 1].word if at + 1 < len(tokens) else ""
    return following in ("isnt", "doesnt", "yes") and any(
        other.word == tokens[at].word for other in tokens[at + 2 : at + 6]
    )


def _found_in_lower_case(
    tokens: tuple[Token, ...], lexicon: Lexicon, words: NameWords
) -> list[str]:
    never, likely = set(words.never), set(words.likely)
    names: dict[str, None] = {}
    for at, token in enumerate(tokens):
        if token.kind != "word" or token.word in never or token.heard:
            continue
        if token.word in likely and not lexicon.knows(token.word):
            names.setdefault(token.word)
            continue
        before = tokens[at - 1].word if at else ""
        if at == 0 and (token.word in likely or not lexicon.knows(token.word)):
            names.setdefault(token.word)
            continue
        placed = at == 0 or tokens[at - 1].kind == "stop" or before in BEFORE_NAME
        if not placed or not looks_like_subject(tokens, at + 1):
            continue
        if token.word in likely or (
            not lexicon.knows(token.word) and len(token.word) >= SHORTEST_UNMARKED
        ):
            names.setdefault(token.word)
    return list(names)
