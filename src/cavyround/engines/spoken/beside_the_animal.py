"""What is said of no animal though it sounds so: the time of a visit, a fan that wheezes."""

from collections.abc import Sequence
from itertools import takewhile

from cavyround.engines.spoken.items import Item

# Words of a visit that is to come; a number behind them may be the time of day.
VISITS = frozenset({
    "rang", "rung", "ring", "phoned", "booked", "appointment", "appt", "slot", "tomorrow",
    "squeezed", "receptionist", "expecting",
})  # fmt: skip
# So many words on a visit is still spoken of.
REACH = 8
HOURS, MINUTES, QUARTER = 12, 60, 5
MACHINES = frozenset({
    "fan", "heater", "radiator", "boiler", "kettle", "fridge", "freezer", "hoover", "vacuum",
    "van", "printer", "dryer", "pump", "compressor", "generator", "pipes", "pipe", "door",
    "gate", "hinge", "floorboard", "recorder", "phone", "humidifier", "dehumidifier", "engine",
})  # fmt: skip
# "That fan, it's wheezing": between the machine and its noise stands nothing but these.
OF_MACHINE = frozenset({
    "it", "its", "is", "s", "was", "still", "keeps", "that", "thing", "again", "just", "really",
    "in", "here", "over", "there", "old", "bloody", "started", "always", "been",
})  # fmt: skip
BREATHING = "breathing"
FAR = 6


def leave_beside(items: Sequence[Item]) -> None:
    """Mark the numbers and signs that are said of no animal, with the reason."""
    for at, item in enumerate(items):
        if item.number is not None and _is_time_of_visit(items, at):
            item.left_out = "no_content"
        elif item.has("sign") and _is_of_machine(items, at):
            item.left_out = "equipment"


def _is_time_of_visit(items: Sequence[Item], at: int) -> bool:
    """ "Rang the surgery, tomorrow, ten fifteen": a time, and no weight."""
    number = items[at].number
    following = items[at + 1] if at + 1 < len(items) else None
    if number is None or number.decimal or (following is not None and following.has("unit")):
        return False
    hour, minute = divmod(int(number.value), 100)
    if not (1 <= hour <= HOURS and minute % QUARTER == 0 and minute < MINUTES):
        return False
    before = list(takewhile(lambda one: not one.is_end, reversed(items[:at])))[: REACH * 2]
    words = [one for one in before if not one.is_break][:REACH]
    if any(one.has("about", "weight_words") or one.number is not None for one in words):
        return False
    return any(VISITS & set(one.word.split()) for one in words)


def _is_of_machine(items: Sequence[Item], at: int) -> bool:
    """A noise right behind a machine; a name or an animal between them takes it back."""
    if not any(one.entry.to == BREATHING for one in items[at].of("sign")):
        return False
    for one in reversed(items[max(0, at - FAR) : at]):
        if one.word.split(" ")[-1] in MACHINES:
            return True
        if one.name or one.is_end or not (one.is_break or set(one.word.split()) <= OF_MACHINE):
            return False
    return False
