"""Where an animal that is checked is named, and which mentions are of the same one."""

from collections.abc import Sequence
from dataclasses import dataclass

from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.tokens import Token
from cavyround.engines.spoken.trained.hints import Hints
from cavyround.engines.spoken.trained.naming import Naming
from cavyround.engines.spoken.trained.words_answered import Answers
from cavyround.knowledge.words import DescribedWords

OUTSIDE, BEGINS, GOES_ON = range(3)
NAMED_FROM = 0.5
# A name of the pen is one unless the network is as good as sure that it is a plain word here.
SURELY_NONE = 0.97


@dataclass(frozen=True, slots=True)
class Mention:
    """Words ``begin`` up to ``end`` name the animal ``who``, by its place among all named."""

    begin: int
    end: int
    who: int


@dataclass(frozen=True, slots=True)
class Lead:
    """The animal on the table, whose name was put first: it is named by the first ``words``."""

    name: str
    words: int


@dataclass(frozen=True, slots=True)
class Called:
    """All animals that are named, in the order of naming, and where."""

    names: tuple[str, ...]
    mentions: tuple[Mention, ...]


def called(
    tokens: Sequence[Token],
    hints: Hints,
    items: Sequence[Item],
    pen: Sequence[str],
    answers: Answers,
    told_by: DescribedWords,
    lead: Lead | None = None,
) -> Called:
    """Who is named, by the network and, for the names of the pen, by the rules as well.

    ``told_by``: the words that describe who has no name.
    """
    by_rules = [(hints.words_in(one.span), one.name) for one in items if one.name]
    spans = _spans(tokens, answers)
    if any(tokens[begin].capital for begin, _ in spans):
        spans = [one for one in spans if _may_name(tokens, one, told_by)]
    if pen:
        spans = _with_those_of_the_pen(spans, [words for words, _ in by_rules], answers)
    names: list[str] = []
    mentions: list[Mention] = []
    if lead is not None:
        names.append(lead.name)
        mentions.append(Mention(0, lead.words, 0))
        spans = [(begin, end) for begin, end in spans if begin >= lead.words]
    naming = Naming(tokens, pen, names, told_by, next((name for _, name in by_rules), ""))
    for at, (begin, end) in enumerate(spans):
        ruled = (
            name
            for words, name in by_rules
            if begin < words.stop and end > words.start and _is_whole(words, begin, end, pen, name)
        )
        name = naming.name_of(begin, end, next(ruled, ""), spans[at + 1 : at + 2])
        if name not in names:
            names.append(name)
        mentions.append(Mention(begin, end, names.index(name)))
    return Called(tuple(names), tuple(mentions))


def _is_whole(words: range, begin: int, end: int, pen: Sequence[str], name: str) -> bool:
    """Whether the name of the rules is all that is named: of "Mary-Lou" they may know "Mary"."""
    return name in pen if pen else words.start <= begin and end <= words.stop


def _spans(tokens: Sequence[Token], answers: Answers) -> list[tuple[int, int]]:
    share = answers.share("M")
    best = share.argmax(axis=1)
    spans: list[tuple[int, int]] = []
    at = 0
    while at < len(tokens):
        end = at + 1
        if best[at] == BEGINS or share[at, BEGINS] >= NAMED_FROM:
            while end < len(tokens) and best[end] == GOES_ON:
                end += 1
            spans.append((at, end))
        at = end
    return spans


def _may_name(tokens: Sequence[Token], span: tuple[int, int], told_by: DescribedWords) -> bool:
    """Whether the words can name somebody: in a text with capitals a verb cannot."""
    begin, end = span
    one = tokens[begin]
    return end - begin > 1 or one.capital or not one.word.endswith(told_by.verbs)


def _with_those_of_the_pen(
    spans: list[tuple[int, int]], ruled: Sequence[range], answers: Answers
) -> list[tuple[int, int]]:
    taken = {at for begin, end in spans for at in range(begin, end)}
    outside = answers.share("M")[:, OUTSIDE]
    more = [
        (words.start, words.stop)
        for words in ruled
        if words and taken.isdisjoint(words) and outside[words.start] < SURELY_NONE
    ]
    return sorted(spans + more)
