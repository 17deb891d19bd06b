"""Read an order as it was typed: every fault beside its field, nothing guessed, nothing lost."""

from dataclasses import dataclass
from datetime import datetime, time
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.facts.deviations import DayOff, IfLate, IfMissed, IfPartly
from cavyround.facts.endings import Ending, Rest
from cavyround.facts.lengths import Length
from cavyround.facts.orders import Limits
from cavyround.facts.reading_amounts import NotRead, read_dose, read_strength
from cavyround.facts.reading_schedules import read_often, read_times
from cavyround.facts.schedules import Schedule
from cavyround.facts.strengths import Mix
from cavyround.record.orders import NO_STRENGTH, OrderSaid, wants_strength
from cavyround.web.medicines.order_fields import OrderFields

WINDOWS = ("early", "late", "missed_after", "least_apart")


@dataclass(frozen=True, slots=True)
class _When:
    """How often and at what times, once read."""

    every: Length | None
    times: tuple[time, ...]

    @property
    def in_hours(self) -> bool:
        """Whether it is counted in elapsed hours."""
        return self.every is not None and self.every.unit == "hours"


class OrderForm(OrderFields):
    """An order as it is entered; ``said`` is there once it is valid."""

    schedule: Schedule | None = None
    limits: Limits | None = None

    def clean(self) -> dict[str, Any]:
        """Each thing on its own, then what belongs together."""
        said = super().clean() or self.cleaned_data
        self._what(said)
        self._whom(said)
        when = self._when(said)
        ending = self._ending(said, when)
        windows = self._windows(said)
        if when is not None and ending is not None and windows is not None:
            self._make_schedule(said, when, ending, windows)
        self._make_limits(said)
        return said

    def _what(self, said: dict[str, Any]) -> None:
        if said.get("kind") == "care":
            self._need(said, "care", "Choose which care.")
            for name in ("drug", "dose"):
                if said.get(name):
                    words = "Care that is no medicine has none: say how much in words below."
                    self.blame(name, words)
            return
        self._need(said, "drug", "Say which medicine: without it there is no order.")
        self._need(said, "vet", "Say which vet ordered it: without a vet there is no order.")
        self._need(said, "dose", "Say the dose as the vet said it, as 0.4 mg/kg.")
        self._need(said, "route", "Choose how it is given.")
        if said.get("dose") and (wants_strength(said["dose"]) or _is_dosed_by_strength(said)):
            self._need(said, "strength", NO_STRENGTH)
        if said.get("care"):
            self.blame("care", "This is for care that is no medicine: choose that above, or none.")
        for name, read in (("dose", read_dose), ("strength", read_strength)):
            if said.get(name):
                found = read(said[name])
                if isinstance(found, NotRead):
                    self.blame(name, f"{found.words[:1].upper()}{found.words[1:]}.")

    def _whom(self, said: dict[str, Any]) -> None:
        if said.get("standing") and said.get("animals"):
            words = "A standing order is for newcomers: choose animals, or make it standing."
            self.blame("standing", words)
        elif not said.get("standing") and not said.get("animals"):
            self.blame("animals", "Choose at least one animal, or make it a standing order.")
        on = said.get("ordered_on")
        if on and on > timezone.localdate():
            self.blame("ordered_on", "This day is still to come: a vet's order comes first.")

    def _need(self, said: dict[str, Any], name: str, words: str) -> None:
        if not said.get(name):
            self.blame(name, words)

    def _when(self, said: dict[str, Any]) -> _When | None:
        often = read_often(said["often"]) if said.get("often") else None
        times = read_times(said.get("times") or "")
        if isinstance(often, NotRead):
            self.blame("often", f"{often.words[:1].upper()}{often.words[1:]}.")
        if isinstance(times, NotRead):
            self.blame("times", f"{times.words[:1].upper()}{times.words[1:]}.")
        if often is None or isinstance(often, NotRead) or isinstance(times, NotRead):
            return None
        when = _When(None if often == "once" else often, times)
        if when.in_hours and len(times) != 1:
            self.blame("times", "Doses counted in hours need the time of the first, as 08:00.")
            return None
        return when

    def _ending(self, said: dict[str, Any], when: _When | None) -> Ending | None:
        named = [n for n in ("doses", "last_day", "until_vet_says") if said.get(n)]
        if when is not None and when.every is None:
            if named and (named != ["doses"] or said["doses"] > max(1, len(when.times))):
                self.blame(named[0], "What is given once ends after that one day.")
                return None
            return Ending(doses=said.get("doses") or max(1, len(when.times)))
        if len(named) != 1:
            words = "Say how it ends: so many doses, a last day, or until the vet says."
            self.blame("doses", words if not named else "Say only one way in which it ends.")
            return None
        try:
            return Ending(doses=said.get("doses"), last_day=said.get("last_day"))
        except ValueError as odd:
            self.blame(named[0], f"{odd}.")
            return None

    def _windows(self, said: dict[str, Any]) -> dict[str, Length] | None:
        windows: dict[str, Length] = {}
        fine = True
        for name in WINDOWS:
            if not said.get(name):
                continue
            read = read_often(said[name])
            if isinstance(read, Length):
                windows[name] = read
            else:
                self.blame(name, "Write a length of time, as 2 hours or 1 day.")
                fine = False
        return windows if fine else None

    def _make_schedule(
        self, said: dict[str, Any], when: _When, ending: Ending, windows: dict[str, Length]
    ) -> None:
        first = said.get("first_on")
        if first is None:
            return
        begins: dict[str, Any] = {"first_on": first}
        if when.in_hours:
            begins = {"first_at": timezone.make_aware(datetime.combine(first, when.times[0]))}
        elif when.times:
            begins |= {"at": when.times, "first_time": when.times[0]}
        try:
            self.schedule = Schedule(
                every=when.every,
                ends=ending,
                **begins,
                rest=self._rest(said),
                early=windows.get("early"),
                late=windows.get("late"),
                missed_after=windows.get("missed_after"),
                least_apart=windows.get("least_apart"),
                if_late=IfLate(said.get("if_late") or IfLate.ASK_VET),
                if_missed=IfMissed(said.get("if_missed") or IfMissed.ASK_VET),
                if_partly=IfPartly(said.get("if_partly") or IfPartly.ASK_VET),
                day_off=DayOff(said.get("day_off") or DayOff.KEEP),
                move_days=said.get("move_days") or 0,
            )
        except ValueError as odd:
            self.blame("often", f"This does not fit together: {odd}.")

    def _rest(self, said: dict[str, Any]) -> Rest | None:
        after, days = said.get("pause_after"), said.get("pause_days")
        if (after is None) != (days is None):
            msg = "a pause needs both: after how many days, and for how many"
            raise ValueError(msg)
        return None if after is None or days is None else Rest(after_days=after, days=days)

    def _make_limits(self, said: dict[str, Any]) -> None:
        under, over = said.get("not_under_g"), said.get("not_over_g")
        try:
            self.limits = Limits(
                not_under_g=Decimal(under) if under else None,
                not_over_g=Decimal(over) if over else None,
                not_under_days=said.get("not_under_days"),
                not_over_days=said.get("not_over_days"),
                not_pregnant=bool(said.get("not_pregnant")),
                not_nursing=bool(said.get("not_nursing")),
            )
        except ValueError as odd:
            self.blame("not_over_g", f"{odd}.")

    def said(self, order: UUID, now: datetime) -> OrderSaid:
        """The order as the record's writer takes it; only of a valid form."""
        given = self.cleaned_data
        care = given["kind"] == "care"
        noon = timezone.make_aware(datetime.combine(given["ordered_on"], time(12)))
        assert self.schedule is not None  # noqa: S101 - a valid form has one
        return OrderSaid(
            id=order,
            drug="" if care else given["drug"],
            care=given["care"] if care else "",
            vet=given["vet"],
            word=given["word"],
            ordered_at=min(noon, now),
            why=given["why"],
            dose="" if care else given["dose"],
            route=given["route"],
            schedule=self.schedule,
            standing=given["standing"],
            strength="" if care else given["strength"],
            counted_as=given["counted_as"],
            diluent=given["diluent"],
            limits=self.limits or Limits(),
            withdrawal_days=given["withdrawal_days"],
            weight_within_days=given["weight_within_days"],
            recheck_days=given["recheck_days"],
            against=tuple(given["against"]),
            lasts_days=given["lasts_days"],
            kills_eggs={"yes": True, "no": False}.get(given["kills_eggs"]),
            second_check=given["second_check"],
            product=given["product"].pk if given["product"] else None,
            note=given["note"],
        )


def _is_dosed_by_strength(said: dict[str, Any]) -> bool:
    """Whether so many mL of it mean nothing without the strength: a known drug, and no wash."""
    medicine = book().medicines.named(said.get("drug") or "")
    wash = isinstance(read_dose(said["dose"]), Mix)
    return medicine is not None and medicine.measured_by in ("mass", "units") and not wash
