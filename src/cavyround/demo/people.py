"""The people of the invented rescue."""

from cavyround.record.models import Person
from cavyround.record.people import add_person, keep_vet_numbers, let_go

DEMO_PASSWORD = "demo-herd-only"  # noqa: S105 -- told on the demo's sign-in page by intent

# Account, role, name. The first four are told on the demo's sign-in page.
PEOPLE = (
    ("carer", "carer", "Maren Oakley"),
    ("lead", "lead", "Ottilie Farrow"),
    ("vet", "vet", "Dr Imre Pell"),
    ("viewer", "viewer", "Tobias Lund"),
    ("jory", "carer", "Jory Penhale"),
    ("wilda", "carer", "Wilda Brandt"),
)


def add_people() -> dict[str, Person]:
    """All accounts, by their name."""
    return {
        username: add_person(username, DEMO_PASSWORD, role, shown_name=name)
        for username, role, name in PEOPLE
    }


def add_vet_numbers() -> None:
    """Numbers from the range kept free for drama (Ofcom, 01632 960000 to 960999)."""
    keep_vet_numbers(
        [("Dr Pell, by day", "01632 960 114"), ("Night and weekend line", "01632 960 887")]
    )


def say_goodbye(people: dict[str, Person]) -> None:
    """Wilda moved away; what she entered stays hers."""
    let_go(people["wilda"])
