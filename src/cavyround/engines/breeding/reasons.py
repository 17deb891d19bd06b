"""Why something is said: words with the sources they rest on."""

from dataclasses import dataclass

from cavyround.knowledge.book import Knowledge


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """A sentence and where it comes from; no source where it is a plain fact of the record."""

    words: str
    sources: tuple[str, ...] = ()
    code: str = ""


def from_number(book: Knowledge, key: str, words: str) -> Reason:
    """A reason that rests on a number of the knowledge."""
    return Reason(words=words, sources=book.thresholds[key].sources, code=key)


def to_do(book: Knowledge, care_id: str) -> Reason:
    """What is done, in the knowledge's own words."""
    care = book.living.care(care_id)
    return Reason(words=care.words, sources=care.sources, code=care_id)
