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
# "In at nine forty": what may stand between a name and the time of its visit.
AT_A_TIME = frozenset({"at", "for", "by", "till", "until"})
MACHINES = frozenset({
    "fan", "heater", "radiator", "boiler", "kettle", "fridge", "freezer", "hoover", "vacuum",
    "van", "printer", "dryer", "pump", "compressor", "generator", "pipes", "pipe", "door",
    "gate", "hinge", "floorboard", "recorder", "phone", "humidifier", "dehumidifier", "engine",
})  # fmt: skip
# What a machine can do as well as an animal; nothing that gasps or sneezes is a machine.
NOISES = ("wheez", "whistl", "rattl", "hum", "click", "buzz", "squeak", "crackl", "nois", "sound")
# "That fan, it's wheezing": between the machine and its noise stands nothing but these.
OF_MACHINE = frozenset({
    "it", "its", "is", "s", "was", "still", "keeps", "that", "thing", "again", "just", "really",
    "in", "here", "over", "there", "old", "bloody", "started", "always", "been",
})  # fmt: skip
# After a comma one of these says that it is still the machine: "the van, still wheezing" may not.
BACK_TO_IT = frozenset({"it", "its", "that", "thing"})
# "Put her by the heater": the animal is there, and the noise may be its own.
BESIDE = frozenset({
    "by", "to", "in", "into", "inside", "near", "nearer", "beside", "under", "underneath", "on",
    "onto", "out", "of", "at", "from", "off", "next", "behind", "against", "with", "round",
    "around", "towards", "above", "over", "opposite", "alongside", "between", "through", "past",
})  # fmt: skip
# "Somebody see to that fan": no place.
SEES = frozenset({"see", "sees", "seeing"})
ANIMAL = frozenset({"he", "she", "him", "they", "them", "pig", "boar", "sow", "pup"})
BREATHING, NOISY = "breathing", "noisy"
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
    since = list(takewhile(lambda one: not _is_of_visit(one), words))
    return len(since) < len(words) and not _is_of_another(since, before)


def _is_of_visit(item: Item) -> bool:
    return not VISITS.isdisjoint(item.word.split())


def _is_of_another(since: Sequence[Item], before: Sequence[Item]) -> bool:
    """ "Rang the vet about Pip, Dot 910": an animal named since the visit, and its weight.

    ``since``: the words back to those of the visit; ``before``: the same with their breaks and on.
    "Booked Dot in at nine forty" stays a time: one breath with the visit, and "at" before it.
    """
    if not any(one.name for one in since):
        return False
    if since[0].word.split(" ")[-1] not in AT_A_TIME:
        return True
    breath = list(takewhile(lambda one: not one.is_break, before))
    return any(one.name for one in breath) and not any(_is_of_visit(one) for one in breath)


def _is_of_machine(items: Sequence[Item], at: int) -> bool:
    """A noise right behind a machine; an animal before or between them takes it back."""
    if not _is_noise(items[at]):
        return False
    back_to_it = False
    for place in range(at - 1, max(0, at - FAR) - 1, -1):
        one = items[place]
        words = one.word.split()
        if words and words[-1] in MACHINES:
            return not _is_a_place(items, place)
        if one.name or one.is_end:
            return False
        if one.is_break and not back_to_it:
            return False
        if not one.is_break and not OF_MACHINE.issuperset(words):
            return False
        back_to_it = back_to_it or not BACK_TO_IT.isdisjoint(words)
    return False


def _is_noise(item: Item) -> bool:
    told = [one for one in item.of("sign") if one.entry.to == BREATHING]
    alone = len(item.word.split()) == 1 and item.word.startswith(NOISES)
    return bool(told) and alone and all(one.code == NOISY for one in told)


def _is_a_place(items: Sequence[Item], machine: int) -> bool:
    """Whether the machine only says where an animal is, in the words before it up to a break."""
    breath = list(takewhile(lambda one: not one.is_break, reversed(items[:machine])))
    words = [word for one in reversed(breath) for word in one.word.split()]
    words += items[machine].word.split()[:-1]
    if any(one.name for one in breath) or not ANIMAL.isdisjoint(words):
        return True
    return any(
        word in BESIDE and not (word == "to" and at and words[at - 1] in SEES)
        for at, word in enumerate(words)
    )
