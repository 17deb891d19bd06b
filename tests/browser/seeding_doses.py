"""Orders and courses for a dose round, written into a data folder: ``python -m … FOLDER``.

Nothing here depends on the date or the hour: every dose is due at any time of today.
"""

import json
import sys
from collections.abc import Sequence
from datetime import datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from cavyround.commands.folder import set_up

WEIGHED_AGO = timedelta(minutes=50)
A_DAY_OR_SO = timedelta(hours=22)
LATE = time(23, 30)
GROUP = 6
OF_MEDICINES = frozenset({"orders", "courses", "doses", "shelf", "days_off"})
STRENGTHS = {
    "fenbendazole": "100 mg/mL",
    "meloxicam": "1.5 mg/mL",
    "enrofloxacin": "25 mg/mL",
    "amoxicillin": "50 mg/mL",
}


def main(folder: Path) -> None:
    """Write it, and say who gets what as JSON."""
    set_up(folder)
    from cavyround.record.models import Animal, Person  # noqa: PLC0415 -- Django first

    lead = Person.objects.get(username="lead")
    here = Animal.objects.filter(left_on=None, pen__kind="residents", pregnant__in=["no", ""])
    boars = Animal.objects.filter(left_on=None, pen__kind="residents", sex="boar")
    grown = [*here, *[one for one in boars if one not in here]]
    residents = sorted(grown, key=_in_order)
    print(json.dumps(_Seeding(lead, residents).seed()))


def _in_order(animal: Any) -> tuple[int, int, str]:
    return (animal.pen.room.position, animal.pen.position, animal.name)


class _Seeding:
    def __init__(self, lead: Any, residents: Sequence[Any]) -> None:
        from django.utils import timezone  # noqa: PLC0415

        self.lead, self.residents = lead, residents
        self.now: datetime = timezone.now()
        self.today = timezone.localdate(self.now)

    def seed(self) -> dict[str, Any]:
        self._clear_the_shelf()
        group = [str(one.pk) for one in self.residents[:GROUP]]
        pain, antibiotic, unweighed, care, stopped = self.residents[GROUP : GROUP + 5]
        for one in [*self.residents[:GROUP], pain, antibiotic, care, stopped]:
            self._weigh(one, self._usual(one))
        self._shelf()
        worm = self._order("fenbendazole", "20 mg/kg", "worms seen in the droppings")
        for one in self.residents[:GROUP]:
            self._course(worm, one)
        self._course(self._order("meloxicam", "0.4 mg/kg", "sore after its operation"), pain)
        drops = self._order(
            "enrofloxacin", "5 mg/kg", "abscess, opened", begun_ago=1, second_check=True
        )
        course = self._course(drops, antibiotic)
        self._given(course, self._yesterday())
        late = self._order("meloxicam", "0.5 mg/kg", "stiff in the hind legs", weight_within_days=1)
        self._course(late, unweighed)
        self._weigh(unweighed, self._usual(unweighed), ago=timedelta(days=3))
        self._course(self._care(), care)
        self._course(self._order("amoxicillin", "20 mg/kg", "a cough"), stopped)
        return {
            "group": group,
            "pain": str(pain.pk),
            "antibiotic": str(antibiotic.pk),
            "unweighed": str(unweighed.pk),
            "care": str(care.pk),
            "stopped": str(stopped.pk),
        }

    def _yesterday(self) -> datetime:
        """Some 22 hours ago; past ten in the evening that would be today: then late last night."""
        from django.utils import timezone  # noqa: PLC0415

        last_night = datetime.combine(
            self.today - timedelta(days=1), LATE, tzinfo=timezone.get_current_timezone()
        )
        return min(self.now - A_DAY_OR_SO, last_night)

    def _clear_the_shelf(self) -> None:
        """The herd's own orders, courses and bottles are no part of these tests."""
        from django.apps import apps  # noqa: PLC0415
        from django.db import connection  # noqa: PLC0415

        with connection.cursor() as cursor:
            cursor.execute("PRAGMA foreign_keys = OFF")
            for model in apps.get_app_config("record").get_models():
                if model.__module__.rpartition(".")[2] in OF_MEDICINES:
                    cursor.execute(f"DELETE FROM {model._meta.db_table}")  # noqa: S608
            cursor.execute("PRAGMA foreign_keys = ON")

    def _usual(self, animal: Any) -> Decimal:
        from cavyround.record.models import WeighIn  # noqa: PLC0415

        last = WeighIn.objects.filter(animal=animal, doubted=False).order_by("at").last()
        return Decimal(last.grams) if last else Decimal(900)

    def _weigh(self, animal: Any, grams: Decimal, ago: timedelta = WEIGHED_AGO) -> None:
        from tests.builders import FINISH, a_check, weighed  # noqa: PLC0415

        at = self.now - ago
        a_check(self.lead, animal, weighed(str(grams)), FINISH, at=at, kind="weigh_in")

    def _shelf(self) -> None:
        from cavyround.record.shelf import add_lot, add_product  # noqa: PLC0415

        for drug, strength in STRENGTHS.items():
            product = add_product(
                self.lead, {"name": drug, "drug": drug, "strength": strength}, self.now
            )
            expires = self.today + timedelta(days=200)
            lot = {"number": f"{drug[:2].upper()}1", "expires_on": expires}
            add_lot(self.lead, product, lot, self.now, came=Decimal(50))
        for code in ("ml_1_by_0_01", "ml_2_5_by_0_1"):
            supply = {"name": code, "kind": "supply", "unit": "pieces", "syringe": code}
            product = add_product(self.lead, supply, self.now)
            add_lot(self.lead, product, {"number": "S1"}, self.now, came=Decimal(40))

    def _order(self, drug: str, dose: str, why: str, *, begun_ago: int = 0, **said: Any) -> Any:
        from cavyround.facts.deviations import IfPartly  # noqa: PLC0415
        from cavyround.facts.schedules import Ending, Schedule, days  # noqa: PLC0415
        from cavyround.record.orders import OrderSaid, place_order  # noqa: PLC0415

        schedule = Schedule(
            every=days(1),
            ends=Ending(doses=10),
            first_on=self.today - timedelta(days=begun_ago),
            if_partly=IfPartly.COUNTS,
        )
        order = OrderSaid(
            vet="Dr Isla Fern",
            ordered_at=self.now - timedelta(days=begun_ago, hours=25),
            why=why,
            schedule=schedule,
            drug=drug,
            dose=dose,
            route="by_mouth",
            strength=STRENGTHS[drug],
            **said,
        )
        return place_order(self.lead, order, self.now)

    def _care(self) -> Any:
        from cavyround.facts.schedules import Ending, Schedule, days  # noqa: PLC0415
        from cavyround.record.orders import OrderSaid, place_order  # noqa: PLC0415

        schedule = Schedule(every=days(1), ends=Ending(doses=7), first_on=self.today)
        order = OrderSaid(
            vet="Dr Isla Fern",
            ordered_at=self.now - timedelta(hours=25),
            why="crusty mouth corners",
            schedule=schedule,
            care="vitamin_c_by_mouth",
        )
        return place_order(self.lead, order, self.now)

    def _course(self, order: Any, animal: Any) -> Any:
        from cavyround.record.courses import begin_course  # noqa: PLC0415

        return begin_course(self.lead, order, animal, self.now)

    def _given(self, course: Any, at: datetime) -> None:
        from cavyround.record.doses import DoseSaid, keep_dose  # noqa: PLC0415

        said = DoseSaid(course=course.pk, at=at, outcome="given", number=1)
        keep_dose(self.lead, said, self.now)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
