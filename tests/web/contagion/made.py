"""Animals that come, and pages asked for and sent, for these tests."""

from datetime import timedelta
from typing import Any

from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.record.animals import Coming, add_animal
from cavyround.record.models import (
    Animal,
    Person,
)
from cavyround.record.models.entries import new_id

DAY = timedelta(days=1)

DAY = timedelta(days=1)


def comes(person: Person, name: str, pen: Any, days_ago: int = 60) -> Animal:
    at = timezone.now() - days_ago * DAY
    coming = Coming(on=at.date(), how="surrendered", came_from="a family", source="home")
    return add_animal(person, {"name": name}, coming, at, pen=pen)


def page(client: Client, name: str, *args: Any) -> str:
    answer = client.get(reverse(name, args=args))
    assert answer.status_code == 200
    return answer.content.decode()


def post(client: Client, view: str, *args: Any, code: Any = 302, **form: Any) -> str:
    answer = client.post(reverse(view, args=args), {"once": str(new_id())} | form)
    assert answer.status_code == code, answer.content.decode()[:3000]
    return answer.content.decode()
