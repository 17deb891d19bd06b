"""Words for something that happened which tell of no happening here: a state, a litter long ago."""

import re

from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.told_times import days_ago_in
from cavyround.knowledge.book import Knowledge

# "She's spayed", "a neutered boar": what the animal is, not what was done the other day.
NEUTERED = frozenset({"spayed", "castrated", "neutered", "spay", "desexed", "speyed", "snipped"})
STATES = frozenset({"is", "already", "a", "an", "are", "long", "fully"})
# "One stillborn in her last litter": of another birth than this one.
EARLIER = re.compile(
    r"\b(last|previous|earlier|before that) (litter|time|year|birth|lot|pregnancy|one)\b",
    re.IGNORECASE,
)
OF_BIRTH = frozenset({"abortion", "gave_birth"})
DONE_TO_IT = frozenset({"was", "is", "got", "been", "nearly", "almost", "he", "she", "being"})
CAME_OFF = frozenset({"came off", "come off"})


def is_of_no_day(code: str, items: list[Item], at: int, text: str, book: Knowledge) -> bool:
    """Whether the words at ``at`` for the event ``code`` tell of nothing that happened now."""
    item = items[at]
    sentence = _sentence(text, item.span.start)
    before = items[at - 1] if at else None
    if code in OF_BIRTH:
        return EARLIER.search(sentence) is not None
    if item.word == "squashed":
        # "A couple of squashed ones" are droppings.
        return before is None or before.word not in DONE_TO_IT
    if code == "fall_or_blow" and item.word in CAME_OFF:
        # "A scab came off": not the animal.
        return before is not None and bool(before.has("sign") or before.has("place"))
    if code != "surgery" or item.word.split(" ")[-1] not in NEUTERED:
        return False
    is_state = before is not None and (before.tail == "s" or before.word in STATES)
    return is_state and days_ago_in(sentence, book, None) is None


def _sentence(text: str, start: int) -> str:
    begin = max(text.rfind(stop, 0, start) for stop in ".;") + 1
    ends = [end for stop in ".;" if (end := text.find(stop, start)) >= 0]
    return text[begin : min(ends, default=len(text))]
