"""What a text of weights comes to: line by line which animal, day and weight, or what is asked."""

import hashlib
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from enum import StrEnum

from django.utils import timezone

from cavyround.engines.weight.said import Doubt
from cavyround.record.clocks import EARLIEST
from cavyround.record.models import Animal
from cavyround.web.templatetags.words import day as day_words
from cavyround.web.weighing.notebook.amounts import Unit, weight_of
from cavyround.web.weighing.notebook.days import Day, zone_offset
from cavyround.web.weighing.notebook.handles import Handles, Known
from cavyround.web.weighing.notebook.lines import read_lines
from cavyround.web.weighing.notebook.tables import read_table
from cavyround.web.weighing.notebook.written import Notes, Written

# More than anybody writes down in one go, and as many as are recorded within seconds.
MOST_LINES = 1000
# A weighing without a time was made some time that day; no other is nearer to all of them.
NO_TIME = time(12)


class State(StrEnum):
    """What becomes of a line."""

    NEW = "new"
    DOUBTED = "doubted"
    KNOWN = "known"
    ASKED = "asked"
    UNREADABLE = "unreadable"
    EMPTY = "empty"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What was said beside the text. Nothing here is assumed where it was not said."""

    unit: Unit | None = None
    day: date | None = None
    who: Mapping[str, str]
    left_out: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One weight of the text. ``key`` names it as long as its words stay the same.

    ``moment`` is when it counts as weighed; ``timed`` says whether a time was written.
    ``options`` are the animals it may mean where that is asked; ``chosen`` that it was answered.
    """

    key: str
    number: int
    text: str
    state: State = State.NEW
    why: str = ""
    animal: Animal | None = None
    options: tuple[tuple[str, str], ...] = ()
    chosen: bool = False
    asks_unit: bool = False
    on: date | None = None
    moment: datetime | None = None
    timed: bool = False
    grams: Decimal | None = None
    written: str = ""
    doubt: Doubt | None = None
    left_out: bool = False

    @property
    def recorded(self) -> bool:
        """Whether accepting would record it."""
        return self.state in (State.NEW, State.DOUBTED) and not self.left_out


def read(text: str, answers: Answers, now: datetime) -> tuple[list[Line], tuple[str, ...]]:
    """The lines of a text, and the names of columns nothing was read from."""
    animals = {str(one.pk): one for one in Animal.objects.select_related("pen__room")}
    handles = Handles(_known(one) for one in animals.values())
    notes: Notes = read_table(text) or read_lines(text, handles)
    asking = _Asking(animals, handles, answers, now)
    return [asking.line(key, one) for key, one in _keyed(notes.written)], notes.unused


def _known(animal: Animal) -> Known:
    return Known(
        id=str(animal.pk),
        name=animal.name,
        microchip=animal.microchip,
        came=animal.arrived_on,
        left=animal.left_on,
        words=_told_apart(animal),
    )


def _told_apart(animal: Animal) -> str:
    """An animal's name with what tells it from another of the same name."""
    sex = "" if animal.sex == "unknown" else animal.sex
    place = f"left on {day_words(animal.left_on)}" if animal.left_on else str(animal.pen or "")
    chip = f"microchip {animal.microchip}" if animal.microchip else ""
    came = f"here since {day_words(animal.arrived_on)}" if animal.arrived_on else ""
    return ", ".join(filter(None, (animal.name, sex, place, chip or came)))


def _keyed(written: Iterable[Written]) -> Iterable[tuple[str, Written]]:
    """Each with its key: the same words a second time have a key of their own."""
    times: Counter[str] = Counter()
    for one in written:
        times[one.text] += 1
        made_from = f"{times[one.text]}\n{one.text}"
        yield hashlib.sha256(made_from.encode()).hexdigest()[:12], one


@dataclass(frozen=True, slots=True)
class _Asking:
    """What every line is read against."""

    animals: Mapping[str, Animal]
    handles: Handles
    answers: Answers
    now: datetime

    def line(self, key: str, written: Written) -> Line:
        """One line with its animal, day and weight; the first thing that is missing is said."""
        line = Line(
            key=key,
            number=written.line,
            text=written.text,
            left_out=key in self.answers.left_out,
        )
        if written.empty:
            return replace(line, state=State.EMPTY, why=written.empty)
        if written.why or written.amount is None:
            why = written.why or "There is no weight on it."
            on = (written.day and written.day.on) or self.answers.day
            return replace(line, state=State.UNREADABLE, why=why, on=on)
        weight = weight_of(written.amount, self.answers.unit)
        line = replace(line, grams=weight.grams, written=written.amount.written)
        line = self._on_its_day(line, written.day)
        line = self._of_its_animal(line, written.who)
        if line.state is State.UNREADABLE or not weight.why:
            return line
        asks_unit = written.amount.unit is None and self.answers.unit is None
        state = State.ASKED if asks_unit else State.UNREADABLE
        why = " ".join(filter(None, (line.why, weight.why)))
        return replace(line, state=state, why=why, asks_unit=asks_unit)

    def _on_its_day(self, line: Line, said: Day | None) -> Line:
        on = said.on if said and said.on else self.answers.day
        if said and said.why:
            return replace(line, state=State.UNREADABLE, why=said.why)
        if on is None:
            why = "No day is written: say on which day such weights were taken."
            return replace(line, state=State.ASKED, why=why)
        moment = _moment(on, said, self.now)
        if moment > self.now or on > timezone.localdate(self.now):
            why = f"{day_words(on)} has not come yet: nobody was weighed then."
            return replace(line, state=State.UNREADABLE, why=why)
        if moment < EARLIEST:
            why = f"{day_words(on)} is too long ago to be a weighing here. Look at the year."
            return replace(line, state=State.UNREADABLE, why=why)
        return replace(line, on=on, moment=moment, timed=bool(said and said.at))

    def _of_its_animal(self, line: Line, who: str) -> Line:
        if line.state is State.UNREADABLE:
            return line
        meant = self.handles.meant_by(who, line.on)
        chosen = self.answers.who.get(line.key, "")
        ids = [one.id for one in meant.animals]
        if len(ids) == 1 and meant.sure:
            return _born_by_then(replace(line, animal=self.animals[ids[0]]))
        if chosen in ids:
            return _born_by_then(replace(line, animal=self.animals[chosen], chosen=True))
        if not ids:
            why = f"No animal here is called “{who}”, and none has it as microchip or id."
            return replace(line, state=State.UNREADABLE, why=why)
        options = tuple((one.id, one.words) for one in meant.animals)
        count = f"{len(ids)} animals are called" if meant.sure else "Nobody is called"
        why = f"{count} “{who}”: say which is meant."
        return replace(line, state=State.ASKED, why=why, options=options)


def _born_by_then(line: Line) -> Line:
    """Nobody is weighed before its birth: then the day is wrong, or the animal is."""
    born = line.animal.born_earliest if line.animal else None
    if born is None or line.on is None or line.on >= born:
        return line
    why = (
        f"{line.animal} was not born before {day_words(born)}, and this says {day_words(line.on)}."
    )
    return replace(line, state=State.UNREADABLE, why=why)


def _moment(on: date, said: Day | None, now: datetime) -> datetime:
    """When a weighing counts as made; without a time at noon, or now where noon is to come."""
    at = datetime.combine(on, said.at if said and said.at else NO_TIME)
    zoned = zone_offset(said.zone, at) if said else None
    moment = zoned or timezone.make_aware(at, timezone.get_current_timezone())
    if said and said.at:
        return moment
    is_today = on == timezone.localdate(now)
    return min(moment, now - timedelta(seconds=1)) if is_today else moment
