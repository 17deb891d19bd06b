"""People who help are no animals: "ask Jean", "hold her still, Jo", "Margaret will cut them"."""

from cavyround.engines.spoken.lexicon import Lexicon
from cavyround.engines.spoken.name_words import NameLists, begins_with, ends_with
from cavyround.engines.spoken.names import followed_by_number
from cavyround.engines.spoken.tokens import Token, tokens_of

# The first words of a note, in which a speaker says who speaks.
GREETING = 6
SPEAKERS = frozenset({"nurse", "handover", "volunteer", "speaking"})
GREETINGS = frozenset({"hi", "hello", "hey", "evening", "morning", "afternoon", "hiya"})
INTRODUCES = frozenset({"again", "here", "speaking"})


def is_helper(name: str, tokens: tuple[Token, ...], lists: NameLists, lexicon: Lexicon) -> bool:
    """Whether every mention of a name is of somebody who helps, and none of an animal."""
    words = tuple(token.word for token in tokens_of(name) if token.kind == "word")
    places = [
        at
        for at in range(len(tokens))
        if tuple(one.word for one in tokens[at : at + len(words)]) == words
    ]
    return bool(places) and all(
        _helps(tokens, at, at + len(words), lists, lexicon) for at in places
    )


def _helps(
    tokens: tuple[Token, ...], at: int, end: int, lists: NameLists, lexicon: Lexicon
) -> bool:
    if followed_by_number(tokens, end) or _has_a_place(tokens, end, lexicon):
        return False
    if ends_with(tokens, at, lists.helper_before) or begins_with(tokens, end, lists.helper_after):
        return True
    following = tokens[end].word if end < len(tokens) else ""
    before = tokens[at - 1] if at else None
    if _is_likened(tokens, at) or _greets(tokens, at, end):
        return True
    begins = before is None or before.kind in ("comma", "stop") or before.tail == "s"
    begins = begins or (before is not None and before.word == "its")
    if at < GREETING and begins and following in INTRODUCES:
        return True
    if before is not None and before.kind == "comma" and at > 1:
        return tokens[at - 2].word in SPEAKERS or _is_called_to(tokens, at, end)
    return _is_called_to(tokens, at, end)


def _is_likened(tokens: tuple[Token, ...], at: int) -> bool:
    """ "eyes like Sophia Loren": somebody known to all."""
    return any(
        tokens[index].word == "like" and all(one.capital for one in tokens[index + 1 : at])
        for index in range(max(0, at - 2), at)
    )


def _greets(tokens: tuple[Token, ...], at: int, end: int) -> bool:
    """ "Hi, it's Kayla. I'm only doing weights.": who speaks."""
    greeted = bool(at) and at < GREETING and tokens[0].word in GREETINGS
    said = tuple(one.word for one in tokens[end : end + 2])
    return greeted and tokens[at - 1].tail == "s" and said[:1] != () and said[1:] == ("i",)


def _has_a_place(tokens: tuple[Token, ...], end: int, lexicon: Lexicon) -> bool:
    """ "Jean's left eye": a body is an animal's."""
    if tokens[end - 1].tail != "s":
        return False
    marks = [lexicon.longest(tokens, at) for at in range(end, min(end + 2, len(tokens)))]
    return any(mark is not None and mark.sorts & {"place", "places"} for mark in marks)


def _is_called_to(tokens: tuple[Token, ...], at: int, end: int) -> bool:
    """ "You've got him upside down, Lesley.": said to somebody who stands by."""
    if not at or tokens[at - 1].kind != "comma":
        return False
    if end < len(tokens) and tokens[end].kind != "stop":
        return False
    first = next((i for i in range(at - 1, -1, -1) if tokens[i].kind == "stop"), -1) + 1
    said = {token.word for token in tokens[first:at]}
    if tokens[first].word in ("could", "can", "would", "will") and "you" in said:
        return True
    return bool(said & {"you", "your", "please", "thanks"}) and bool(
        said & {"him", "her", "it", "me", "that", "them", "please", "thanks"}
    )
