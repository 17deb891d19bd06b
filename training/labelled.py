"""From an example to what the network should answer for each word.

Each mark is tied to one word of it: the one the rules know it by, else the first that is more than
a word of grammar.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from training.examples import Example, Given, Place, Sign
from training.ruled import Ruled, ruled

# Their word is the number.
MEASURED = frozenset(
    {
        "weight",
        "weight_change",
        "body_condition",
        "temperature",
        "breath_rate",
        "heart_rate",
    }
)
GRAMMAR = frozenset(
    {
        *("a", "an", "the", "this", "that", "his", "her", "its", "their", "my"),
        *("he", "she", "it", "they", "both", "any", "no", "not", "very", "left", "right"),
        *("in", "on", "of", "to", "with", "and", "or", "is", "was"),
    }
)


@dataclass(slots=True)
class SignOfWord:
    """A finding that a word carries, at one or several places, of one or several animals."""

    at: int
    finding: str
    status: str
    side: str
    grade: str
    kind: str
    change: int
    regions: set[str] = field(default_factory=set)
    owners: set[int] = field(default_factory=set)


@dataclass(slots=True)
class CareOfWord:
    """Care that a word tells."""

    at: int
    care: str
    status: str
    side: str
    owners: set[int] = field(default_factory=set)


@dataclass(slots=True)
class Labelled:
    """The words of a text and what each of them says.

    ``by_rules``: the animals the rules take a word to be said of; ``unscored``: words on which
    readers may differ; ``named``: first word, end and animal; ``used``: words that belong to a
    finding or care.
    """

    words: tuple[str, ...]
    hints: tuple[tuple[str, ...], ...]
    by_rules: tuple[frozenset[str], ...]
    animals: tuple[str, ...]
    signs: list[SignOfWord] = field(default_factory=list)
    care: list[CareOfWord] = field(default_factory=list)
    blankets: list[tuple[int, int]] = field(default_factory=list)
    skipped: list[tuple[int, int, str]] = field(default_factory=list)
    left_out: list[tuple[int, str]] = field(default_factory=list)
    named: list[tuple[int, int, int]] = field(default_factory=list)
    unscored: set[int] = field(default_factory=set)
    used: set[int] = field(default_factory=set)


# Hints of what the rules filed, beside those of what a word may mean.
FILED = ("f:", "f@", "f/", "f=", "k:", "k=")
FILED_WHOLE = frozenset({"used", "blanket"})


def unaided(labels: Labelled) -> Labelled:
    """The same labels without the hints of what the rules filed.

    So that the network learns to read, too, what the rules read nothing of.
    """
    hints = tuple(
        tuple(one for one in each if not one.startswith(FILED) and one not in FILED_WHOLE)
        for each in labels.hints
    )
    return replace(labels, hints=hints)


def labelled(example: Example, pen: Sequence[str]) -> Labelled:
    """What each word of an example says; ``pen``: the names that are given to the rules."""
    read = ruled(example.text, pen)
    words = tuple(example.text[start:end] for start, end in read.places)
    labels = Labelled(words, read.hints, read.by_rules, example.animals)
    for sign in example.signs:
        _add_sign(labels, sign, read)
    for given in example.care:
        _add_care(labels, given, read)
    labels.blankets = [
        (at, one.animal) for one in example.blankets for at in read.words_in(one.place)
    ]
    labels.skipped = [
        (at, one.animal, one.step) for one in example.skipped for at in read.words_in(one.place)[:1]
    ]
    labels.left_out = [
        (at, one.kind) for one in example.left_out for at in read.words_in(one.place)
    ]
    stretches = {(_stretch(read, one.place), one.animal) for one in example.named}
    labels.named = sorted((*stretch, animal) for stretch, animal in stretches if stretch)
    return labels


def _stretch(read: Ruled, place: Place) -> tuple[int, int] | None:
    words = read.words_in(place)
    return (words[0], words[-1] + 1) if words else None


def _add_sign(labels: Labelled, sign: Sign, read: Ruled) -> None:
    words = read.words_in(sign.place)
    spoken = {"kind:word", "kind:number"}
    words = [at for at in words if not spoken.isdisjoint(read.hints[at])] or words
    if not words:
        return
    at = _word_of_sign(labels, sign.finding, words)
    if sign.optional:
        labels.unscored.add(at)
        return
    labels.used.update(words)
    key = (at, sign.finding, sign.status, sign.side)
    same = (one for one in labels.signs if (one.at, one.finding, one.status, one.side) == key)
    label = next(same, None)
    if label is None:
        label = SignOfWord(*key, sign.grade, sign.kind, sign.change)
        labels.signs.append(label)
    label.regions.add(sign.region)
    label.owners.add(sign.animal)


def _word_of_sign(labels: Labelled, finding: str, words: Sequence[int]) -> int:
    if finding in MEASURED:
        found = _first(labels, words, "num:")
    elif finding == "normal":
        found = _first(labels, words, "place")
    else:
        found = None
    if found is None and finding != "normal":
        found = next((at for at in words if f"sign:{finding}" in labels.hints[at]), None)
    return _first_telling(labels, words) if found is None else found


def _first(labels: Labelled, words: Iterable[int], beginning: str) -> int | None:
    return next(
        (at for at in words if any(one.startswith(beginning) for one in labels.hints[at])), None
    )


def _first_telling(labels: Labelled, words: Sequence[int]) -> int:
    return next((at for at in words if labels.words[at].lower() not in GRAMMAR), words[0])


def _add_care(labels: Labelled, given: Given, read: Ruled) -> None:
    words = read.words_in(given.place)
    if not words:
        return
    meant = {f"care:{given.care}", f"verb:{given.care}"}
    at = next((at for at in words if not meant.isdisjoint(read.hints[at])), None)
    if at is None:
        at = _first_telling(labels, words)
    labels.used.update(words)
    key = (at, given.care, given.status)
    label = next((one for one in labels.care if (one.at, one.care, one.status) == key), None)
    if label is None:
        label = CareOfWord(*key, given.side)
        labels.care.append(label)
    label.owners.add(given.animal)
