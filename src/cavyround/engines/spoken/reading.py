"""Read a spoken note: words to findings, each with the words it came from."""

from collections.abc import Sequence

from cavyround.engines.spoken.adding import Adding
from cavyround.engines.spoken.alarms import flags_of
from cavyround.engines.spoken.beside_the_animal import leave_beside
from cavyround.engines.spoken.blankets import note_blankets
from cavyround.engines.spoken.care_lists import JobLists
from cavyround.engines.spoken.care_telling import telling_of
from cavyround.engines.spoken.caring import Caring
from cavyround.engines.spoken.clauses import Clause, clauses_of
from cavyround.engines.spoken.coverage import note_skips
from cavyround.engines.spoken.describing import mark_kinds
from cavyround.engines.spoken.doses import amount_of_last
from cavyround.engines.spoken.filing import Filing
from cavyround.engines.spoken.framing import frame
from cavyround.engines.spoken.hearing import heard_right
from cavyround.engines.spoken.items import items_of
from cavyround.engines.spoken.keeping import keep_places, place_of_care, recall_aside
from cavyround.engines.spoken.lexicon import Hears, lexicon_of
from cavyround.engines.spoken.lists_ahead import place_at_the_end
from cavyround.engines.spoken.measuring import Measuring, sizes
from cavyround.engines.spoken.name_finding import names_in
from cavyround.engines.spoken.names import Names
from cavyround.engines.spoken.near_words import brought_near
from cavyround.engines.spoken.places import spots_of
from cavyround.engines.spoken.read_animal import read_animal
from cavyround.engines.spoken.recordings import words_of_recording
from cavyround.engines.spoken.result import (
    ReadAnimal,
    ReadNote,
    RedFlag,
    SaidWord,
)
from cavyround.engines.spoken.scoping import scope
from cavyround.engines.spoken.settling import Settling
from cavyround.engines.spoken.sheets import UNNAMED, Desk, Sheet
from cavyround.engines.spoken.spots import Spot
from cavyround.engines.spoken.tokens import Token, tokens_of
from cavyround.engines.spoken.told_words import words_at
from cavyround.engines.spoken.trained.lead import lead_of, without_lead
from cavyround.engines.spoken.trained.second_reading import is_short_enough, second_reading
from cavyround.engines.spoken.turning import Turning
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.trained import TrainedWeights


def read_note(
    text: str,
    *,
    book: Knowledge,
    pen: Sequence[str] = (),
    checking: str = "",
    trained: TrainedWeights | None = None,
) -> ReadNote:
    """What a note says of each animal.

    Args:
        text: the words, or a recording's WebVTT or SubRip.
        book: the knowledge with its words.
        pen: names of the animals that may be spoken of; without them names are found in the text.
        checking: the animal on the table: what names nobody is said of it.
        trained: what the network has learned; without it the rules alone read the note.

    It never raises: what it does not understand is left out, and stands among the words. An
    emergency sign that either reading finds is told.
    """
    if trained is None:
        return Reading(text, book, pen, checking).note()
    reading = Reading(text, book, pen, checking)
    lead = "" if not checking or reading.names(checking) else lead_of(checking)
    if lead:
        reading = Reading(text, book, pen, checking, lead=lead)
    return without_lead(reading.note(trained), len(lead))


def red_flags(
    text: str, *, book: Knowledge, pen: Sequence[str] = (), checking: str = ""
) -> tuple[RedFlag, ...]:
    """The emergency signs said so far of an animal, also in a sentence that is not finished."""
    return read_note(text, book=book, pen=pen, checking=checking).red_flags


def reading_of(text: str, book: Knowledge, *, region: str = "", framed: bool = True) -> "Reading":
    """A reading that is still to be done, for words told of one place of one animal.

    Not ``framed``: all is taken as said of this animal now.
    """
    reading = Reading(text, book, (), "", hears=words_at(region, book))
    reading.framed = framed
    return reading


class Reading:
    """One text being read."""

    def __init__(
        self,
        text: str,
        book: Knowledge,
        pen: Sequence[str],
        checking: str,
        *,
        hears: Hears | None = None,
        lead: str = "",
    ) -> None:
        """Cut the text into items and clauses.

        ``hears``: what is heard at a place of a told case; names are not looked for then.
        ``lead``: words to be read before the text.
        """
        self.triage = hears is not None
        self.framed = True
        self.book = book
        self.checking = checking
        self.pen = tuple(pen)
        self.lead = len(lead)
        self.text = lead + words_of_recording(text)
        self.tokens = tokens_of(self.text)
        lexicon = hears or lexicon_of(book)
        heard = heard_right(self.tokens, book)
        known = (*pen, checking) if checking and pen else (pen or ())
        names = Names({}) if self.triage else names_in(heard, known, book)
        heard = brought_near(heard, book, names.by_first)
        plain = frozenset(book.words.names.never)
        self.items = items_of(heard, lexicon, names, book.words.numbers, plain)
        self.heard = heard
        self.clauses = clauses_of(self.items)
        self.several = len({item.name for item in self.items if item.name}) > 1
        self.desk = Desk()
        if checking:
            self.desk.current = [checking]

    def names(self, name: str) -> bool:
        """Whether an animal of this name is named in the text."""
        return any(item.name == name for item in self.items)

    def note(self, trained: TrainedWeights | None = None) -> ReadNote:
        """Read it all; with ``trained`` the network weighs what the rules made of it."""
        ruled = self._sheets()
        note = self._told(ruled)
        if trained is None or not is_short_enough(self.tokens, self.text, trained):
            return note
        sheets = second_reading(
            self,
            ruled,
            note,
            text=self.text,
            pen=self.pen,
            checking=self.checking,
            weights=trained,
            book=self.book,
        )
        return self._told(sheets, also=note.red_flags)

    def _sheets(self) -> list[Sheet]:
        """What the rules make of it."""
        leave_beside(self.items)
        if self.framed:
            frame(self.clauses, several=self.several)
        mark_kinds(self.clauses, self.book)
        scope(self.clauses)
        words = self.book.words
        JobLists(telling_of(self.book), words.care, words.product_care).mark(self.clauses)
        steps = _Steps(self.desk, self.book, triage=self.triage)
        for index, clause in enumerate(self.clauses):
            steps.take(clause, self.clauses, index)
        return Settling(self.desk, self.clauses, self.checking).sheets()

    def _told(self, sheets: Sequence[Sheet], also: Sequence[RedFlag] = ()) -> ReadNote:
        animals = tuple(read_animal(sheet, self.book) for sheet in sheets)
        flags = list(flags_of(animals, self.book))
        flags += [one for one in also if not _is_flagged(one, flags, animals)]
        return ReadNote(
            animals=animals,
            words=tuple(self._words()),
            red_flags=tuple(flags),
            heard_as=tuple((one.span, one.word) for one in self.heard if one.heard),
        )

    def _words(self) -> list[SaidWord]:
        said: list[SaidWord] = []
        items = iter(item for item in self.items if not item.is_break)
        item = next(items, None)
        for token in self.tokens:
            if token.kind not in ("word", "number"):
                continue
            while item is not None and item.span.end <= token.span.start:
                item = next(items, None)
            inside = item is not None and item.span.start <= token.span.start
            used = inside and item is not None and (item.used or bool(item.name))
            why = item.left_out if inside and item is not None and not used else ""
            said.append(SaidWord(span=token.span, used=used, left_out=why))
        return said


def _is_flagged(one: RedFlag, flags: Sequence[RedFlag], animals: Sequence[ReadAnimal]) -> bool:
    """Whether the same sign of the same animal is told already; of one unknown now, of any."""
    known = {animal.name for animal in animals}
    return any(
        other.finding == one.finding and (other.animal == one.animal or one.animal not in known)
        for other in flags
    )


class _Steps:
    """Takes one clause after another."""

    def __init__(self, desk: Desk, book: Knowledge, *, triage: bool = False) -> None:
        self.desk = desk
        self.book = book
        self.turning = Turning(desk)
        self.adding = Adding(desk, book)
        self.filing = Filing(desk, book, triage=triage)
        self.measuring = Measuring(desk, book)
        self.caring = Caring(desk, book)

    def take(self, clause: Clause, clauses: list[Clause], index: int) -> None:
        """File what a clause says."""
        desk = self.desk
        self.turning.begin(clause, clauses, index)
        recall_aside(clause, desk)
        spots = spots_of(clause, desk.topic)
        care = self.caring.file(clause, spots)
        weighed = self.measuring.file(clause, spots)
        amount_of_last(clause, desk)
        before = list(desk.last)
        ahead = () if spots else place_at_the_end(clauses, index)
        filed = self.filing.file(clause, spots, ahead)
        sizes(clause, desk)
        if filed:
            self.adding.taking_back.corrected(before)
        if care and not spots:
            place_of_care(desk)
        skipped = note_skips(clause, spots, desk, self.book, filed=filed + care)
        if not filed:
            filed = self.adding.add(clause, spots, done=care + skipped)
        note_blankets(clause, spots, desk, filed=filed, names_only=self.turning.names_only)
        keep_places(clause, spots, desk, filed=bool(filed or care or skipped), weighed=weighed)
        self.turning.end()


__all__ = ["UNNAMED", "Spot", "Token", "read_note", "red_flags"]
