"""What is known about medicines, entry by entry, for ``cavyround knowledge``."""

from collections.abc import Iterator

from cavyround.facts.saying_amounts import hours_words
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.medicines import Medicine, PublishedDose


def medicine_entries(book: Knowledge) -> Iterator[str]:
    """Every medicine, danger, route, syringe, trap and abbreviation with its sources."""
    known = book.medicines
    yield from (_medicine(book, one) for one in known.formulary)
    for danger in known.dangers:
        lines = [f"DANGER {danger.id}: {', '.join(danger.names)}", f"  {danger.words}"]
        lines.append(f"  set aside by: {danger.may}; {danger.sure}")
        yield _entry(book, lines, danger.sources)
    for code, route in known.routes.items():
        lines = [f"ROUTE {code}: {route.words}; given by a {route.by}"]
        lines += [f"  limit: {one.words} ({one.sure})" for one in route.limits]
        yield _entry(book, lines, route.sources)
    for code, syringe in known.syringes.items():
        note = f"; {syringe.note}" if syringe.note else ""
        yield _entry(
            book, [f"SYRINGE {code}: {syringe.words} ({syringe.sure}){note}"], syringe.sources
        )
    for trap in known.traps:
        yield _entry(book, [f"TRAP {trap.id}: {trap.words}"], trap.sources)
    for one in known.abbreviations:
        words = f"NOT WRITTEN {one.written}: taken for {one.taken_for}; write {one.write}"
        yield _entry(book, [words], one.sources)


def _medicine(book: Knowledge, medicine: Medicine) -> str:
    also = f" ({', '.join(medicine.also)})" if medicine.also else ""
    lines = [f"MEDICINE {medicine.id}: {medicine.name}{also}"]
    lines += [f"  class: {book.medicines.classes[code].words}" for code in medicine.classes]
    ways = [book.medicines.routes[code].words for code in medicine.routes]
    lines.append(f"  given: {' or '.join(ways)}")
    lines += [f"  dose: {_dose(book, dose)}" for dose in medicine.doses]
    lines += [f"  stop above {one.above} {one.unit}: {one.words}" for one in medicine.stops]
    lines += [
        f"  not when {one.when}{f' {one.value}' if one.value else ''}: {one.words} ({one.sure})"
        for one in medicine.limits
    ]
    lines += [f"  know: {one.words} ({one.sure})" for one in medicine.cautions]
    if medicine.second_person:
        lines.append(f"  two people: {medicine.second_person}")
    keys = [key for dose in medicine.doses for key in dose.sources]
    return _entry(book, lines, (*medicine.sources, *keys))


def _dose(book: Knowledge, dose: PublishedDose) -> str:
    span = f"{dose.low}" if dose.low == dose.high else f"{dose.low} to {dose.high}"
    ways = " or ".join(book.medicines.routes[code].words for code in dose.routes)
    every = dose.every_hours
    often = hours_words(every.low, every.high) if every else ""
    parts = [f"{span} {dose.unit}", ways or "no route stated", often, dose.course, dose.note]
    return f"{'; '.join(part for part in parts if part)} [{dose.sure}; {', '.join(dose.sources)}]"


def _entry(book: Knowledge, lines: list[str], sources: tuple[str, ...]) -> str:
    titles = dict.fromkeys(book.source_title(key) for key in sources)
    return "\n".join([*lines, *(f"  source: {title}" for title in titles)])
