"""An outbreak as its page shows it: rows by what to do, pens, pictures and sums."""

from collections import Counter, defaultdict
from datetime import date, datetime, timedelta
from typing import Any

from django.utils import timezone
from django.utils.safestring import SafeString

from cavyround.advice.book import book
from cavyround.advice.outbreaks import OutbreakNow, origins
from cavyround.engines.contagion.cases import Sure
from cavyround.engines.contagion.freedom import sample_size
from cavyround.engines.contagion.presences import CLOSE
from cavyround.engines.contagion.reed_frost import Generation, if_nothing_is_done
from cavyround.engines.contagion.tracing import Exposure, Strength
from cavyround.record.models import Animal, OutbreakCase, Pen
from cavyround.web.contagion.drawing import Bar, DayOfCases, Sign, contacts, curve
from cavyround.web.contagion.words import (
    CHANGES,
    STRENGTHS,
    TASKS,
    last_words,
    short_day,
    since_words,
    way_words,
)
from cavyround.web.house.plan import Mark
from cavyround.web.weights.rendering import as_svg

LINES_DRAWN = 24
MOST_UNFOLDED = 8
SURE_ENOUGH = 0.95
ONE_IN = 10
MOST_IN_SUM = 60
GENERATIONS = 4
PHONE, DESK = 226, 560


class Shown:
    """What the page of one outbreak says; asked for once, by the view."""

    def __init__(self, told: OutbreakNow, now: datetime) -> None:
        """Gather the names and pens of all that are spoken of."""
        self.told, self.now = told, now
        self.stands, self.facts = told.stands, told.facts
        wanted = {one.animal for one in self.stands.traced.exposures}
        wanted |= {case.animal for case in self.facts.cases}
        met = origins(told)
        wanted |= {one.case for contacts_ in met.values() for one in contacts_}
        rows = Animal.objects.filter(pk__in=wanted).select_related("pen__room")
        self.animals = {str(row.pk): row for row in rows}
        self.met = met
        self.pens = {
            f"pen {pen.room_id}/{pen.pk}": str(pen) for pen in Pen.objects.select_related("room")
        }

    def name(self, animal: str) -> str:
        """Its name."""
        row = self.animals.get(animal)
        return row.name if row else "an animal"

    def page(self) -> dict[str, Any]:
        """Everything the template shows."""
        return {
            "tasks": list(self.tasks()),
            "cases": list(self.cases()),
            "groups": list(self.groups()),
            "pens_hit": self.pens_hit(),
            "changed": [
                (CHANGES[one.kind], self.animals.get(one.animal)) for one in self.told.changed
            ],
            "conditions": self.stands.conditions,
            "may_close": self.stands.may_close,
            "watch": self.stands.watch,
            "curve": self.curve_picture(),
            "curve_days": self.curve_days(),
            "timeline": self.timeline_picture(PHONE),
            "wide_timeline": self.timeline_picture(DESK),
            "sums": self.sums(),
            "free": self.free(),
        }

    def tasks(self) -> Any:
        """What to do, each with its animals."""
        for task in self.stands.tasks:
            notes: dict[str, list[str]] = defaultdict(list)
            for animal, note in task.animals:
                notes[animal].append(_with_days(note))
            yield {
                "code": task.code,
                "head": TASKS[task.code],
                "words": task.words,
                "sources": [book().source_title(key) for key in task.sources],
                "animals": [
                    {"animal": self.animals.get(key), "note": ", ".join(filter(None, said))}
                    for key, said in notes.items()
                ],
            }

    def cases(self) -> Any:
        """The cases, with since when each may have been catching and whom it met before."""
        said = {
            str(row.animal_id): row
            for row in OutbreakCase.objects.filter(outbreak=self.told.row).order_by("made_at", "id")
        }
        for window in self.stands.windows:
            key = window.case.animal
            before = Counter(one.case for one in self.met.get(key, ()) if one.way in CLOSE)
            yield {
                "animal": self.animals.get(key),
                "row": said.get(key),
                "window": window,
                "before": [self.animals[one] for one in before if one in self.animals],
            }

    def groups(self) -> Any:
        """The exposed by how strongly, the strongest first."""
        for strength, words in STRENGTHS.items():
            rows = [
                self._exposed(one)
                for one in self.stands.traced.exposures
                if one.strength is strength
            ]
            if rows:
                many = len(rows) > MOST_UNFOLDED and strength is not Strength.CLOSE_DIRECT
                folded = many or strength is Strength.WEAK_THROUGH
                yield {"words": words, "rows": rows, "code": strength.value, "folded": folded}

    def _exposed(self, one: Exposure) -> dict[str, Any]:
        step = one.chain[-1] if one.chain else None
        way, by = (step.way, step.by) if step else (None, "")
        if one.contacts:
            way, by = one.contacts[0].way, one.contacts[0].case
        left = self.facts.left.get(one.animal)
        chain = [one.chain[0].by, *(each.animal for each in one.chain)] if one.chain else []
        return {
            "animal": self.animals.get(one.animal),
            "since": since_words(one.since),
            "last": "" if one.strength is Strength.NOT_KNOWN else last_words(one.last),
            "way": way_words(way),
            "by": self.name(by) if by else "",
            "chain": " → ".join(self.name(each) for each in chain if each),
            "long_chain": len(chain) > 2,  # noqa: PLR2004 -- more than from a case to this one
            "sure": one.sure,
            "left": f"{left.how.replace('_', ' ')} on {short_day(left.on)}" if left else "",
        }

    def pens_hit(self) -> list[dict[str, Any]]:
        """The pens in which cases and exposed stand, room by room."""
        marks: dict[int, dict[str, list[Animal]]] = defaultdict(lambda: defaultdict(list))
        cases = {case.animal for case in self.facts.cases if case.counts and not case.over_at}
        close = {
            one.animal
            for one in self.stands.traced.exposures
            if one.strength in (Strength.CLOSE_DIRECT, Strength.CLOSE_THROUGH)
        }
        weak = {
            one.animal
            for one in self.stands.traced.exposures
            if one.strength in (Strength.WEAK_DIRECT, Strength.NOT_KNOWN)
        }
        for key, row in self.animals.items():
            if row.left_on is None and row.pen_id is not None:
                for what, names in (("case", cases), ("close", close), ("weak", weak)):
                    if key in names:
                        marks[row.pen_id][what].append(row)
        pens = Pen.objects.filter(pk__in=marks).select_related("room")
        return [{"pen": pen, **{k: marks[pen.pk].get(k, []) for k in MARKS}} for pen in pens]

    def marks(self) -> dict[int, Mark]:
        """Marks for the plan of the house: the gravest of a pen, in words."""
        found = {}
        for one in self.pens_hit():
            code = next(code for code in MARKS if one[code])
            names = ", ".join(animal.name for animal in one[code])
            found[one["pen"].pk] = Mark(code, f"{MARKS[code]}: {names}")
        return found

    def curve_days(self) -> list[tuple[date, int, int]]:
        """Cases by the day of their first signs: suspected, confirmed."""
        days: dict[date, Counter[Sure]] = defaultdict(Counter)
        for case in self.facts.cases:
            if case.counts:
                days[timezone.localdate(case.signs_at)][case.sure] += 1
        return [
            (day, sums[Sure.SUSPECTED], sums[Sure.CONFIRMED]) for day, sums in sorted(days.items())
        ]

    def curve_picture(self) -> SafeString | str:
        """New cases by day, every day from the first to the last."""
        days = {day: (some, more) for day, some, more in self.curve_days()}
        if not days:
            return ""
        first, last = min(days), max(days)
        every = [first + timedelta(days=n) for n in range((last - first).days + 1)]
        drawn = [DayOfCases(f"{day.day} {day:%b}", *days.get(day, (0, 0))) for day in every]
        words = f"New cases by day, {sum(map(sum, days.values()))} in all; the table says the same"
        return as_svg(curve(drawn), words)

    def timeline_picture(self, width: int) -> SafeString | str:
        """Contacts of the cases in time; no more lines than can be read."""
        windows = [one for one in self.stands.windows if one.case.counts]
        begins = [one.perhaps_since for one in windows if one.perhaps_since is not None]
        # To the full hour, so that it is drawn anew no more often than that.
        now = self.now.replace(minute=0, second=0, microsecond=0) + timedelta(hours=1)
        begin = min(begins) if begins else now - timedelta(days=60)
        signs = [Sign(self.name(one.case.animal), _local(one.case.signs_at)) for one in windows]
        cases = {one.case.animal for one in windows}
        bars = [
            Bar(
                self.name(one.other),
                _local(max(one.since, begin)),
                _local(min(one.until or now, now)),
                one.way in CLOSE,
            )
            for one in sorted(self.stands.traced.met, key=lambda one: one.way not in CLOSE)
            if one.other not in cases and (one.until or now) > begin
        ]
        names = list(dict.fromkeys(bar.name for bar in bars))[:LINES_DRAWN]
        kept = [bar for bar in bars if bar.name in names]
        if not kept:
            return ""
        words = f"Contacts of the cases in time, {len(names)} animals; the lists say the same"
        return as_svg(contacts(kept, signs, width), words)

    def sums(self) -> dict[str, Any] | None:
        """What the chain model says if nothing is done, for three chances nobody knows."""
        cases = sum(case.counts and case.over_at is None for case in self.facts.cases)
        others = sum(
            one.strength in (Strength.CLOSE_DIRECT, Strength.CLOSE_THROUGH)
            and one.animal not in self.facts.left
            for one in self.stands.traced.exposures
        )
        if not cases or not others or others > MOST_IN_SUM:
            return None
        lines = [
            (one, if_nothing_is_done(others, cases, float(one.chance), generations=GENERATIONS))
            for one in book().contagion.what_if
        ]
        table = [
            {
                "head": "now" if not n else f"generation {n}",
                "cells": [_cell(told[n]) for _, told in lines],
            }
            for n in range(GENERATIONS + 1)
        ]
        return {"cases": cases, "others": others, "lines": lines, "table": table}

    def free(self) -> dict[str, int] | None:
        """How many of the exposed must be looked at, all clear, to be sure enough."""
        herd = sum(one.animal not in self.facts.left for one in self.stands.traced.exposures)
        if herd < 2:  # noqa: PLR2004 -- of one there is nothing to choose
            return None
        infected = max(1, herd // ONE_IN)
        return {
            "herd": herd,
            "infected": infected,
            "look_at": sample_size(herd, infected, SURE_ENOUGH),
        }


MARKS = {"case": "■ Case", "close": "◆ Close contact", "weak": "◇ Weaker contact"}


def _cell(one: Generation) -> dict[str, Any]:
    return {
        "expected": f"{one.expected_so_far:.1f}",
        "low": one.low_so_far,
        "high": one.high_so_far,
    }


def _local(moment: datetime) -> str:
    return timezone.localtime(moment).replace(tzinfo=None).isoformat(timespec="minutes")


def _with_days(note: str) -> str:
    """Days of the engine as the page says them."""
    words = note.split(" ")
    return " ".join(short_day(date.fromisoformat(one)) if _is_day(one) else one for one in words)


def _is_day(word: str) -> bool:
    try:
        date.fromisoformat(word)
    except ValueError:
        return False
    return "-" in word
