"""Short ways of asking what a note was read as."""

from cavyround.engines.spoken import ReadNote, read_note
from cavyround.knowledge.book import Knowledge

Signs = set[tuple[str, str, str, str]]


def signs(book: Knowledge, text: str, name: str = "Fudge") -> Signs:
    """Region, side, finding and status of all that was said of the animal on the table."""
    note = read_note(text, book=book, checking=name)
    return of(note, name)


def of(note: ReadNote, name: str) -> Signs:
    animal = note.of(name)
    found = animal.findings if animal is not None else ()
    return {(one.region, one.side.value, one.finding, one.status.value) for one in found}


def care(book: Knowledge, text: str) -> set[tuple[str, str, str]]:
    """Care, side and status."""
    animal = read_note(text, book=book, checking="Fudge").of("Fudge")
    return {(one.care, one.side.value, one.status) for one in (animal.care if animal else ())}


def grams(book: Knowledge, text: str) -> list[float]:
    """Every weight in grams."""
    animal = read_note(text, book=book, checking="Fudge").of("Fudge")
    found = animal.findings if animal is not None else ()
    return [float(one.grams) for one in found if one.finding == "weight" and one.grams is not None]
