"""Lines of a notebook: "Bramble 912 g", several in a line, with or without their day."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from cavyround.web.weighing.notebook.amounts import AMOUNT, Amount, amount_of
from cavyround.web.weighing.notebook.days import DAY, Day, day_of, whole_day
from cavyround.web.weighing.notebook.handles import Handles
from cavyround.web.weighing.notebook.written import Notes, Written

# What may stand between an animal, its day and its weight. A dash needs room: "-5" is no weight.
DASHES = "-\N{EN DASH}\N{EM DASH}"
APART = re.compile(rf"(?:[\s,;:|=]|[{DASHES}](?=\s|$))*")
BULLET = re.compile(rf"\s*(?:[*•{DASHES[::-1]}]|\d{{1,3}}[.)])\s+(?=[^\W\d_])")
NEXT_ONE = re.compile(r"\s*(?:$|[,;|\t])")
MANY_WORDS = 60


@dataclass(frozen=True, slots=True)
class _Rest:
    """What followed an animal: its day, its weight, and where both end."""

    amount: Amount
    day: Day | None
    end: int


def read_lines(text: str, handles: Handles) -> Notes:
    """Every line in its order; a line that is only a day holds for those below it."""
    written: list[Written] = []
    heading: Day | None = None
    for number, raw in enumerate(text.splitlines(), start=1):
        line = raw.rstrip(" .;,\t")
        if not line.strip():
            continue
        day = whole_day(line.strip(" \t,;:-"))
        if day is not None:
            heading = day
            if day.why:
                written.append(Written(line=number, text=line.strip(), why=day.why))
            continue
        written.extend(_entries(number, line, handles, heading))
    return Notes(tuple(written))


def _entries(number: int, line: str, handles: Handles, heading: Day | None) -> Iterator[Written]:
    bullet = BULLET.match(line)
    start = bullet.end() if bullet else 0
    leading = DAY.match(line, _past(line, start))
    if leading:
        heading, start = day_of(leading), leading.end()
    start = _past(line, start)
    while start < len(line):
        end, entry = _entry(line, start, handles)
        yield Written(
            line=number,
            text=line[start:end].strip(),
            who=entry.who,
            day=entry.day or heading,
            amount=entry.amount,
            why=entry.why,
        )
        start = _past(line, end)


def _past(line: str, start: int) -> int:
    """Where what stands apart ends."""
    found = APART.match(line, start)
    return found.end() if found else start


def _entry(line: str, start: int, handles: Handles) -> tuple[int, Written]:
    """One animal with its weight, and where it ends in the line."""
    for length in handles.at_beginning(line[start:]):
        if start + length == len(line):
            break
        who = line[start : start + length]
        rest = _rest(line, start + length, handles)
        if rest:
            return rest.end, Written(line=0, text="", who=who, day=rest.day, amount=rest.amount)
    return _of_nobody_known(line, start, handles)


def _of_nobody_known(line: str, start: int, handles: Handles) -> tuple[int, Written]:
    """A weight under a name nobody has; or a stretch that is no weight at all."""
    known = max(handles.at_beginning(line[start:]), default=0)
    for found in re.finditer(r"[\s,;:|=]", line[start : start + MANY_WORDS]):
        who = line[start : start + found.start()].strip(" \t,;:-")
        rest = _rest(line, start + found.start(), handles)
        if rest and len(who) > known and not _says_weight(who, known):
            return rest.end, Written(line=0, text="", who=who, day=rest.day, amount=rest.amount)
    return len(line), Written(line=0, text="", why=_why_not(line[start:].strip(), handles))


def _says_weight(who: str, known: int) -> bool:
    """Whether a name is none: a number, a day, or a known animal with a number after it."""
    after = who[known:]
    return bool(AMOUNT.fullmatch(who) or DAY.fullmatch(who) or (known and AMOUNT.search(after)))


def _rest(line: str, start: int, handles: Handles) -> _Rest | None:
    """The day and the weight that follow; None unless both end where something new may begin."""
    at = _past(line, start)
    before = DAY.match(line, at)
    if before:
        at = _past(line, before.end())
    found = AMOUNT.match(line, at)
    if at == start or found is None:
        return None
    end = found.end()
    after = None if before else DAY.match(line, _past(line, end))
    if after:
        end = after.end()
    if not _may_end(line, end, handles):
        return None
    day = before or after
    return _Rest(amount_of(found), day_of(day) if day else None, end)


def _may_end(line: str, end: int, handles: Handles) -> bool:
    """Whether the line ends here, or the next animal may begin."""
    following = line[_past(line, end) :]
    if not following:
        return True
    if handles.at_beginning(following):
        return True
    # After a comma a new name may stand, but no further number: "912, 905" is not one weight.
    return bool(NEXT_ONE.match(line, end)) and following[0].isalpha()


def _why_not(text: str, handles: Handles) -> str:
    """What is wrong with a stretch that could not be read."""
    lengths = handles.at_beginning(text)
    rest = text[lengths[0] :].strip(" \t:;,=") if lengths else text
    numbers = AMOUNT.findall(rest)
    if re.match(rf"[{DASHES}]\s*\d", rest):
        why = "A weight below nought cannot be. A dash that parts the two needs a space after it."
    elif not numbers:
        why = "There is no weight on it. Write an animal, then its weight: Bramble 912 g."
    elif not lengths:
        why = "It does not begin with an animal. Write the animal first, then its weight."
    elif len(numbers) > 1:
        why = "There is more than one number after the animal: which is its weight?"
    else:
        why = "Beside the animal, the day and the weight stands something else: take it out."
    return why
