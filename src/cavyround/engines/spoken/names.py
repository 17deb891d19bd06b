"""Who is spoken of: the names of the pen, or words that can only be names."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from cavyround.engines.spoken.lexicon import Lexicon
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
# What follows a name that begins a sentence.
AFTER_NAME = frozenset(
    [
        "is",
        "isnt",
        "has",
        "hasnt",
        "had",
        "was",
        "wasnt",
        "got",
        "gets",
        "weighs",
        "weighed",
        "sneezed",
        "looks",
        "seems",
        "needs",
        "doesnt",
        "didnt",
        "does",
        "did",
        "and",
        "first",
        "next",
        "then",
        "still",
        "eating",
        "scratching",
        "limping",
        "feels",
        "sounds",
        "ate",
        "coughed",
        "lost",
        "gained",
        "can",
        "cant",
        "wont",
        "would",
        "will",
        "says",
        "could",
        "might",
        "done",
        "nothing",
        "now",
        "all",
        "fine",
        "good",
        "clear",
        "bright",
        "both",
        "not",
        "himself",
        "herself",
        "his",
        "her",
        "quiet",
    ]
)
BEFORE_NAME = frozenset(
    [
        "on",
        "for",
        "of",
        "pen",
        "is",
        "called",
        "named",
        "name",
        "okay",
        "ok",
        "right",
        "and",
        "gave",
        "with",
        "from",
        "now",
        "anyway",
        "hello",
        "hey",
        "under",
        "only",
        "mention",
        "come",
        "about",
        "sorry",
        "did",
        "to",
        "weigh",
        "poor",
        "yes",
        "by",
        "nugget",
        "got",
        "do",
        "dear",
        "righto",
        "in",
        "weighed",
        "this",
        "like",
        "hi",
        "about",
        "well",
        "so",
        "alright",
        "oh",
        "see",
        "not",
    ]
)
SHORTEST = 2
COUNT = {word: at for at, word in enumerate(["one", "two", "three", "four", "five", "six"], 1)}
SENTENCES = re.compile(r"[.!?\n]")


@dataclass(frozen=True, slots=True)
class Names:
    """The names to look for, by their first word, and where each is one."""

    by_first: dict[str, list[tuple[tuple[str, ...], str]]]
    careful: frozenset[str] = frozenset()
    cased: bool = True

    def at(self, tokens: tuple[Token, ...], at: int) -> tuple[str, int] | None:
        """The name that stands at a word, and where it ends."""
        following = tokens[at + 1].word if at + 1 < len(tokens) else ""
        if tokens[at].word in ("pup", "baby") and following in COUNT:
            return f"pup {COUNT[following]}", at + 2
        for words, name in self.by_first.get(tokens[at].word, ()):
            end = at + len(words)
            if tuple(token.word for token in tokens[at:end]) != words:
                continue
            if words[0] in self.careful and not self._is_meant(tokens, at, end):
                continue
            return name, end
        return None

    def _is_meant(self, tokens: tuple[Token, ...], at: int, end: int) -> bool:
        """Whether a name that is also a word is meant as the name here."""
        if self.cased:
            begins = at == 0 or tokens[at - 1].kind == "stop"
            if not tokens[at].capital:
                return False
            if begins and _lists_names(tokens, at):
                return True
            return not begins or _looks_like_subject(tokens, at, end)
        before = tokens[at - 1] if at else None
        if before is None or before.kind == "stop" or before.word in BEFORE_NAME:
            return (
                before is None
                or _looks_like_subject(tokens, at, end)
                or (before.word in BEFORE_NAME and before.word not in ("is", "no", "not", "s"))
            )
        return _followed_by_number(tokens, end) or tokens[end - 1].tail == "s"


def _looks_like_subject(tokens: tuple[Token, ...], at: int, end: int) -> bool:
    if tokens[end - 1].tail in ("s", "ll", "d", "ve"):
        return True
    if end >= len(tokens) or tokens[end].kind in ("comma", "stop"):
        return True
    following = tokens[end].word
    return following in AFTER_NAME or _followed_by_number(tokens, end) or tokens[end].capital


NUMBERISH = frozenset(
    [
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
        "twenty",
        "thirty",
        "forty",
        "fifty",
        "sixty",
        "seventy",
        "eighty",
        "ninety",
        "a",
        "point",
    ]
)


def _followed_by_number(tokens: tuple[Token, ...], end: int) -> bool:
    if end >= len(tokens):
        return False
    return tokens[end].kind == "number" or tokens[end].word in NUMBERISH


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
        alone = _looks_like_subject(tokens, at, at + 1)
        known = lexicon.knows(token.word)
        if titled:
            names.setdefault(f"{tokens[at - 1].word} {token.word}".title())
        elif not begins and (not known or token.word in likely or alone):
            names.setdefault(token.word.capitalize())
        elif begins and (token.word in likely or (alone and not known)):
            if alone or not known:
                names.setdefault(token.word.capitalize())
        elif (begins and known and (_lists_names(tokens, at) or _is_named_for_it(tokens, at))) or (
            begins and alone and known and _has_name_tail(tokens, at)
        ):
            names.setdefault(token.word.capitalize())
    titles = {name.split()[1] for name in names if " " in name}
    return [name for name in names if name not in titles]


def _lists_names(tokens: tuple[Token, ...], at: int) -> bool:
    """ "Gum, Wattle, Banksia.": words with capitals after commas are a list of names."""
    following = tokens[at + 1 : at + 4]
    return (
        len(following) == 3
        and following[0].kind == "comma"
        and following[1].capital
        and (following[2].kind in ("comma", "stop") or following[2].word == "and")
    )


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
        if not placed or not _looks_like_subject(tokens, at, at + 1):
            continue
        if token.word in likely or (not lexicon.knows(token.word) and len(token.word) > 2):
            names.setdefault(token.word)
    return list(names)
