"""Words for something that happened which tell of no happening here: a state, a litter long ago."""

import re

from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.tokens import Span
from cavyround.engines.spoken.told_times import days_ago_in
from cavyround.knowledge.book import Knowledge

# "She's spayed", "a neutered boar": what the animal is, not what was done the other day.
NEUTERED = frozenset({"spayed", "castrated", "neutered", "spay", "desexed", "speyed", "snipped"})
STATES = frozenset({"is", "already", "a", "an", "are", "long", "fully"})
# "One stillborn in her last litter": of another birth than this one. "The last one" may be a pup
# of this one.
EARLIER = (
    r"((last|previous|earlier|before that) (litter|time|year|birth|lot|pregnancy)"
    r"|(previous|earlier|before that) one)"
)
EARLIER_SAID = re.compile(rf"\b{EARLIER}\b", re.IGNORECASE)
# "In her last litter, one stillborn": a part that says nothing but when.
EARLIER_ALONE = re.compile(
    rf"\s*((and|but|all|only|it was|that was|in|from|of|with|at|the|her|his|their) )*{EARLIER}\s*",
    re.IGNORECASE,
)
# "Miscarried, not like last time".
COMPARED = re.compile(
    r"\b(like|unlike|than|as|since)( (in|with|at|the|her|their))*\s*$", re.IGNORECASE
)
NOW = re.compile(
    r"\b(today|tonight|yesterday|overnight|last night"
    r"|(just|now) (now|gave|given|had|miscarried|aborted|lost|delivered|born)"
    r"|(?<!none in )this (time|one|litter|birth|morning|afternoon|evening|week|lunchtime))\b",
    re.IGNORECASE,
)
OF_BIRTH = frozenset({"abortion", "gave_birth"})
DONE_TO_IT = frozenset({"was", "is", "got", "been", "nearly", "almost", "he", "she", "being"})
# "A couple of squashed ones" are droppings, "leg squashed under a brick" is none.
OF_DROPPINGS = re.compile(r"\s+(ones?|poos?|poops?|droppings?|pellets?)\b", re.IGNORECASE)
BY_FORCE = re.compile(
    r"\s+(under\w*|beneath|by|between|against"
    r"|in (the|a|his|her|its|my) (\w+ )?(door|gate|lid|hinge|drawer|chair|recliner|sofa))\b",
    re.IGNORECASE,
)
NO_LIMB = frozenset({"droppings", "urine", "appetite", "breathing"})
CAME_OFF = frozenset({"came off", "come off"})


def is_of_no_day(code: str, items: list[Item], at: int, text: str, book: Knowledge) -> bool:
    """Whether the words at ``at`` for the event ``code`` tell of nothing that happened now."""
    item = items[at]
    sentence = _sentence(text, item.span.start)
    before = items[at - 1] if at else None
    if code in OF_BIRTH:
        return _is_of_earlier_birth(text, item.span)
    if item.word == "squashed":
        return _is_of_droppings(text, item, before)
    if code == "fall_or_blow" and item.word in CAME_OFF:
        # "A scab came off": not the animal.
        return before is not None and bool(before.has("sign") or before.has("place"))
    if code != "surgery" or item.word.split(" ")[-1] not in NEUTERED:
        return False
    is_state = before is not None and (before.tail == "s" or before.word in STATES)
    return is_state and days_ago_in(sentence, book, None) is None


def _is_of_earlier_birth(text: str, said: Span) -> bool:
    """Whether the words stand in one part with an earlier birth, or beside a part of that alone.

    What is said to be of now is of now, whatever is told of a litter before it.
    """
    sentence, begin = _sentence(text, said.start), _sentence_start(text, said.start)
    parts = list(re.finditer(r"[^,:()]+", sentence))
    own = [at for at, part in enumerate(parts) if begin + part.start() <= said.start]
    if not own:
        return False
    mine = parts[own[-1]].group()
    if NOW.search(mine):
        return False
    if any(not COMPARED.search(mine[: one.start()]) for one in EARLIER_SAID.finditer(mine)):
        return True
    beside = parts[max(0, own[-1] - 1) : own[-1] + 2]
    return any(EARLIER_ALONE.fullmatch(part.group()) for part in beside)


def _is_of_droppings(text: str, item: Item, before: Item | None) -> bool:
    """Whether "squashed" says how droppings look: of a limb, or by a force, it is none of them."""
    behind = text[item.span.end :]
    if OF_DROPPINGS.match(behind):
        return True
    places = [*before.of("place"), *before.of("places")] if before is not None else []
    if any(one.code in NO_LIMB for one in places):
        return True
    done = before is not None and (before.word in DONE_TO_IT or bool(before.name))
    return not (done or places or BY_FORCE.match(behind))


def _sentence_start(text: str, start: int) -> int:
    return max(text.rfind(stop, 0, start) for stop in ".;") + 1


def _sentence(text: str, start: int) -> str:
    ends = [end for stop in ".;" if (end := text.find(stop, start)) >= 0]
    return text[_sentence_start(text, start) : min(ends, default=len(text))]
