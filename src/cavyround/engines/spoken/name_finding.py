"""The names to look for: those of the pen, or words that can only be names."""

from collections.abc import Iterable, Sequence

from cavyround.engines.conditions.triggers import OncePerBook
from cavyround.engines.spoken.helping import is_helper
from cavyround.engines.spoken.lexicon import Lexicon, lexicon_of
from cavyround.engines.spoken.name_standing import LIKELY, OF_THINGS, SURE, standing
from cavyround.engines.spoken.name_words import NameLists, ends_with
from cavyround.engines.spoken.names import (
    Names,
    followed_by_number,
    lists_names,
    looks_like_subject,
)
from cavyround.engines.spoken.tokens import Token, tokens_of
from cavyround.knowledge.book import Knowledge

SHORTEST = 2
# Written without capitals a shorter word is no name.
SHORTEST_UNMARKED = 3
LONG_TURN = 3
# So many words to a comma or full stop: the text was written without.
UNBROKEN = 15
CALLS = frozenset({"oh", "hello", "hey", "poor", "dear"})
# "Rounded, four out of five": an unknown word that begins a sentence and ends so describes.
DESCRIBES = ("ed", "ing", "ish")
NO_NAME_ENDS_SO = ("ed", "ing", "ly", "ish")

lists_of = OncePerBook(lambda book: NameLists(book.words.names, book.words.plain))


def names_in(tokens: tuple[Token, ...], pen: Sequence[str], book: Knowledge) -> Names:
    """The names of the pen, or where none are given, those the text itself shows."""
    cased = any(token.capital and token.word != "i" and not token.heard for token in tokens)
    lists = lists_of(book)
    lexicon = lexicon_of(book)
    if pen:
        return _known(pen, lexicon, lists, cased=cased)
    find = _with_capitals if cased else _in_lower_case
    found = find(tokens, lexicon, lists)
    animals = [name for name in found if not is_helper(name, tokens, lists, lexicon)]
    return _known(animals, lexicon, lists, cased=cased)


def _known(names: Iterable[str], lexicon: Lexicon, lists: NameLists, *, cased: bool) -> Names:
    by_first: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    careful: set[str] = set()
    for name in dict.fromkeys(names):
        parts = tuple(token.word for token in tokens_of(name) if token.kind in ("word", "number"))
        if not parts:
            continue
        by_first.setdefault(parts[0], []).append((parts, name))
        if len(parts) == 1 and (lexicon.knows(parts[0]) or lists.is_everyday(parts[0])):
            careful.add(parts[0])
    for ways in by_first.values():
        ways.sort(key=lambda way: -len(way[0]))
    return Names(by_first, frozenset(careful), cased, lists.after, lists.before)


def _with_capitals(tokens: tuple[Token, ...], lexicon: Lexicon, lists: NameLists) -> list[str]:
    names: dict[str, None] = {}
    covered = _covered(tokens, lexicon)
    for at, token in enumerate(tokens):
        if token.kind != "word" or not token.capital or token.heard or len(token.word) < SHORTEST:
            continue
        if at in covered or _is_care(tokens, at, lexicon):
            continue
        if _is_titled(tokens, at, lists):
            names.setdefault(f"{tokens[at - 1].word} {token.word}".title())
        elif _is_name(tokens, at, lexicon, lists):
            names.setdefault(token.word.capitalize())
    parts = {part for name in names if " " in name for part in name.split()}
    return [name for name in names if name not in parts]


def _covered(tokens: tuple[Token, ...], lexicon: Lexicon) -> set[int]:
    """Words of a longer turn of speech: "happy as Larry" names nobody."""
    covered: set[int] = set()
    for at, token in enumerate(tokens):
        if token.kind != "word":
            continue
        mark = lexicon.longest(tokens, at)
        if mark is not None and mark.end - at >= LONG_TURN:
            covered.update(range(at, mark.end))
    return covered


def _is_care(tokens: tuple[Token, ...], at: int, lexicon: Lexicon) -> bool:
    """ "Spot on is going on tomorrow": what is given, no name."""
    mark = lexicon.longest(tokens, at)
    return mark is not None and mark.end > at + 1 and bool(mark.sorts & {"care", "product"})


def _is_titled(tokens: tuple[Token, ...], at: int, lists: NameLists) -> bool:
    """ "Mr Tumble": two capitals, the first a title."""
    before = tokens[at - 1] if at else None
    if before is None or not before.capital or before.word not in lists.titles or before.tail:
        return False
    within = at > 1 and tokens[at - 2].kind != "stop"
    return within or tokens[at].word not in lists.never or tokens[at].word in lists.ambiguous


def _is_name(tokens: tuple[Token, ...], at: int, lexicon: Lexicon, lists: NameLists) -> bool:
    token = tokens[at]
    word = token.word
    alone = looks_like_subject(tokens, at + 1, lists.after)
    begins = at == 0 or tokens[at - 1].kind == "stop"
    if at and tokens[at - 1].word in ("a", "an"):
        # "she's a Coronet": what she is, not who.
        return False
    if word in lists.never and word not in lists.likely:
        return word in lists.ambiguous and _stands_as_name(tokens, at, lists)
    known = lexicon.knows(word)
    likely = word in lists.likely or word in lists.ambiguous
    if not begins:
        means = known and lexicon.longest(tokens, at) is not None
        return likely or not means or alone or tokens[at - 1].word in CALLS
    if likely and (alone or not known):
        return not known or _names_somebody(tokens, at, lexicon)
    if known and lexicon.longest(tokens, at) is None:
        # Part of longer phrases only: "Puddle's nails".
        return standing(tokens, at, lexicon, lists) >= SURE
    if known:
        return (
            _is_named_for_it(tokens, at, lexicon)
            or lists_names(tokens, at)
            or (alone and _has_name_tail(tokens, at))
        )
    describes = word.endswith(NO_NAME_ENDS_SO) and tokens[at + 1 : at + 2] != ()
    comma = at + 1 < len(tokens) and tokens[at + 1].kind == "comma"
    if not describes and not lists.is_everyday(word) and standing(tokens, at, lexicon, lists):
        return True
    return alone and not lists.is_everyday(word) and not (describes and comma)


def _stands_as_name(tokens: tuple[Token, ...], at: int, lists: NameLists) -> bool:
    """ "Will's got", "May, seven ninety": an everyday word that can only be a name here."""
    following = tokens[at + 1] if at + 1 < len(tokens) else None
    if tokens[at].tail == "s":
        return True
    within = at > 0 and tokens[at - 1].kind != "stop"
    if within and following is not None and following.word in ("is", "has", "weighs", "isnt"):
        # "Okay, Captain is on the table."
        return True
    if following is not None and following.kind == "comma":
        return followed_by_number(tokens, at + 2)
    return ends_with(tokens, at, lists.announced) and tokens[at].capital and bool(at)


def _names_somebody(tokens: tuple[Token, ...], at: int, lexicon: Lexicon) -> bool:
    """Whether a sentence begins with a word for a place or a cue, or with a name."""
    mark = lexicon.longest(tokens, at)
    return mark is None or not mark.sorts & {"place", "places", "cue"}


def _is_named_for_it(tokens: tuple[Token, ...], at: int, lexicon: Lexicon) -> bool:
    """ "Itchy's coat", "Lumpy isn't", "Tuck, seven seventy": a known word as a subject."""
    following = tokens[at + 1].word if at + 1 < len(tokens) else ""
    mark = lexicon.longest(tokens[at : at + 1], 0)
    if mark is not None and mark.sorts & {"place", "places", "cue", "about", "side"}:
        return False
    if following == "," and followed_by_number(tokens, at + 2):
        return mark is None or "sign" not in mark.sorts
    return tokens[at].word.endswith("y") and (
        tokens[at].tail == "s" or following in ("isnt", "hasnt", "doesnt", "is", "has")
    )


def _has_name_tail(tokens: tuple[Token, ...], at: int) -> bool:
    """Said again as a word right after: "Wheezy isn't wheezy"."""
    following = tokens[at + 1].word if at + 1 < len(tokens) else ""
    return following in ("isnt", "doesnt", "yes") and any(
        other.word == tokens[at].word for other in tokens[at + 2 : at + 6]
    )


def _in_lower_case(tokens: tuple[Token, ...], lexicon: Lexicon, lists: NameLists) -> list[str]:
    names: dict[str, None] = {}
    unbroken = len(tokens) > UNBROKEN * sum(1 for one in tokens if one.kind in ("stop", "comma"))
    for at, token in enumerate(tokens):
        if token.kind != "word" or token.heard or token.word in names:
            continue
        if _is_titled_low(tokens, at, lexicon, lists):
            names.setdefault(f"{tokens[at - 1].word} {token.word}")
        elif token.word not in lists.never and _is_lower_name(
            tokens, at, lexicon, lists, unbroken=unbroken
        ):
            names.setdefault(token.word)
    for at in range(len(tokens)):
        if _goes_with_a_name(tokens, at, frozenset(names), lexicon, lists):
            names.setdefault(tokens[at].word)
    parts = {part for name in names if " " in name for part in name.split()}
    return [name for name in names if name not in parts]


def _is_titled_low(tokens: tuple[Token, ...], at: int, lexicon: Lexicon, lists: NameLists) -> bool:
    """ "mrs tiggywinkle": a title before a word nobody knows, or a likely name."""
    if not at or tokens[at - 1].word not in lists.titles or tokens[at - 1].tail:
        return False
    word = tokens[at].word
    known = lexicon.knows(word) or lists.is_everyday(word)
    plain = tokens[at - 1].word in ("little", "big", "baby", "sweet", "peanut", "general")
    return not plain and (not known or word in lists.likely)


def _is_lower_name(
    tokens: tuple[Token, ...], at: int, lexicon: Lexicon, lists: NameLists, *, unbroken: bool
) -> bool:
    word = tokens[at].word
    mark = lexicon.longest(tokens, at)
    if (len(word) < SHORTEST_UNMARKED and at) or (mark is not None and mark.end > at + 1):
        return False
    stands = standing(tokens, at, lexicon, lists, unbroken=unbroken)
    likely = word in lists.likely
    if mark is not None:
        # A word with a meaning of its own.
        return likely and bool(stands)
    if likely and not lexicon.knows(word):
        return not at or (tokens[at - 1].heard or tokens[at - 1].word) not in OF_THINGS
    describes = word.endswith(DESCRIBES) and not word.endswith(("fred", "ted", "ned"))
    known = lexicon.knows(word) or lists.is_everyday(word) or describes
    return stands >= (SURE if known and not likely else LIKELY)


def _goes_with_a_name(
    tokens: tuple[Token, ...],
    at: int,
    names: frozenset[str],
    lexicon: Lexicon,
    lists: NameLists,
) -> bool:
    """ "thunder and matilda", "neville patches and tex": beside a name a name stands."""
    token = tokens[at]
    word = token.word
    if token.kind != "word" or token.heard or word in lists.never or lexicon.knows(word):
        return False
    if lists.is_everyday(word) and word not in lists.likely:
        return False
    after = [one.word for one in tokens[at + 1 : at + 3]]
    before = [one.word for one in tokens[max(0, at - 2) : at]]
    joined = after[:1] == ["and"] and after[1:2] != [] and after[1] in names
    return joined or (before[1:2] == ["and"] and before[0] in names)
