"""Who is handled before whom: by what an animal may carry, wherever it stands.

Order: Association of Shelter Veterinarians' guidelines 2022 (healthy and vulnerable first, then
the exposed and quarantined, the sick and isolated last), from memory.
"""

from datetime import timedelta

import pytest

from cavyround.advice.due import due_today
from cavyround.advice.order_of_care import order_of_care
from cavyround.record.contagion import Apart, CaseSaid, open_outbreak, set_quarantine
from cavyround.record.models import Animal, Person
from tests.builders import NOW, a_pen, an_animal

DAY = timedelta(days=1)


@pytest.fixture
def house(lead: Person) -> dict[str, Animal]:
    chicory, yarrow = a_pen(name="Chicory", room="Barn"), a_pen(name="Yarrow", room="Barn")
    nest = a_pen("nursery", room="Loft")
    return {
        "Nutmeg": an_animal(lead, "Nutmeg", pen=chicory),
        "Juniper": an_animal(lead, "Juniper", pen=chicory),
        "Mallow": an_animal(lead, "Mallow", pen=yarrow),
        "Acorn": an_animal(lead, "Acorn", pen=nest),
    }


def stages(house: dict[str, Animal]) -> dict[str, str]:
    order = order_of_care(NOW)
    return {name: order.stage(animal) for name, animal in house.items()}


def test_without_anything_catching_the_kind_of_pen_decides(house: dict[str, Animal]) -> None:
    assert stages(house) == {
        "Nutmeg": "residents",
        "Juniper": "residents",
        "Mallow": "residents",
        "Acorn": "nursery",
    }
    assert next(due.animal.name for due in due_today(NOW)) == "Acorn"


def test_a_case_among_residents_comes_last_with_its_whole_pen(
    lead: Person, house: dict[str, Animal]
) -> None:
    seen = CaseSaid(signs_at=NOW - DAY, sure="suspected", why="bald nose")
    open_outbreak(lead, "ringworm", "Ringworm", "bald", house["Nutmeg"], seen, NOW - DAY)
    told = stages(house)
    assert told["Nutmeg"] == told["Juniper"] == "isolation"
    assert told["Acorn"] == "nursery"
    order = [due.animal.name for due in due_today(NOW)]
    assert set(order[-2:]) == {"Nutmeg", "Juniper"}


def test_one_in_quarantine_among_residents_takes_its_pen_along(
    lead: Person, house: dict[str, Animal]
) -> None:
    apart = Apart(
        began_on=NOW.date(), days=21, second_look_days=14, last_check_days=7, why="met a stray"
    )
    set_quarantine(lead, house["Mallow"], apart, NOW)
    assert stages(house)["Mallow"] == "quarantine"


def test_a_pen_is_never_come_back_to(lead: Person, house: dict[str, Animal]) -> None:
    house["Clary"] = an_animal(lead, "Clary", pen=house["Nutmeg"].pen, on=(NOW - DAY).date())
    pens = [due.pen for due in due_today(NOW)]
    first = list(dict.fromkeys(pens))
    assert pens == [pen for pen in first for _ in range(pens.count(pen))]
