"""Whoever guesses passwords waits, and nobody else does."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from cavyround.record.models import Person
from cavyround.web.account.braking import BRAKE, FREE_TRIES, Brake, in_words
from tests.conftest import PASSWORD

WRONG = "a wrong guess"
HERE, ELSEWHERE = "192.0.2.7", "192.0.2.8"


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The brake's own time, in seconds."""
    time = [1000.0]
    monkeypatch.setattr(BRAKE, "clock", lambda: time[0])
    return time


def sign_in(name: str, password: str = WRONG, address: str = HERE) -> Any:
    form = {"username": name, "password": password}
    return Client(REMOTE_ADDR=address).post(reverse("sign-in"), form)


def test_the_first_tries_are_free_and_the_next_are_told_to_wait(
    carer: Person, clock: list[float]
) -> None:
    for number in range(1, FREE_TRIES + 1):
        answer = sign_in("carer")
        assert answer.status_code == 422
        assert "do not go together" in answer.content.decode()
        assert ("That was try" in answer.content.decode()) is (number == FREE_TRIES)
    waits = sign_in("carer", PASSWORD)
    page = waits.content.decode()
    assert waits.status_code == 429
    assert "5 tries for this name did not fit" in page
    assert "counts in 5 seconds" in page
    assert 'value="carer"' in page
    clock[0] += 5
    assert sign_in("carer", PASSWORD).status_code == 302


def test_each_wait_is_longer_and_none_is_longer_than_five_minutes(
    carer: Person, clock: list[float]
) -> None:
    waits = []
    for _ in range(14):
        sign_in("CARER")
        waits.append(BRAKE.wait_s("carer", HERE))
        clock[0] += waits[-1]
    assert waits == [0, 0, 0, 0, 5, 10, 20, 40, 80, 160, 300, 300, 300, 300]


def test_a_try_while_waiting_makes_the_wait_no_longer(carer: Person, clock: list[float]) -> None:
    for _ in range(FREE_TRIES + 20):
        sign_in("carer")
    assert BRAKE.wait_s("carer", HERE) == 5


def test_neither_others_nor_the_same_name_elsewhere_have_to_wait(
    carer: Person, lead: Person, clock: list[float]
) -> None:
    for _ in range(FREE_TRIES):
        sign_in("carer")
    assert sign_in("lead", PASSWORD).status_code == 302
    assert sign_in("carer", PASSWORD, ELSEWHERE).status_code == 302
    assert sign_in("carer", PASSWORD).status_code == 429


def test_signing_in_forgets_what_was_mistyped_before(carer: Person, clock: list[float]) -> None:
    for _ in range(3):
        for _ in range(FREE_TRIES - 1):
            sign_in("carer")
        assert sign_in("carer", PASSWORD).status_code == 302


def test_an_hour_later_all_is_forgotten(carer: Person, clock: list[float]) -> None:
    for _ in range(FREE_TRIES):
        sign_in("carer")
    clock[0] += 3600
    assert sign_in("carer").status_code == 422
    assert BRAKE.failures("carer", HERE) == 1


def test_a_name_nobody_has_waits_as_well(db: None, carer: Person, clock: list[float]) -> None:
    """The brake does not tell who has an account."""
    for _ in range(FREE_TRIES):
        sign_in("nobody")
    assert sign_in("nobody").status_code == 429


def test_an_empty_password_is_no_guess(carer: Person, clock: list[float]) -> None:
    for _ in range(FREE_TRIES * 2):
        assert sign_in("carer", "").status_code == 422
    assert BRAKE.failures("carer", HERE) == 0


def test_names_without_end_do_not_fill_the_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("cavyround.web.account.braking.MOST_REMEMBERED", 10)
    brake = Brake(clock=lambda: 0.0)
    for number in range(50):
        brake.failed(f"name {number}", HERE)
    assert len(brake.tries) == 10
    assert brake.failures("name 49", HERE) == 1


@pytest.mark.parametrize(
    ("seconds", "words"), [(1, "1 second"), (80, "80 seconds"), (160, "3 minutes")]
)
def test_a_wait_is_said_in_words(seconds: int, words: str) -> None:
    assert in_words(seconds) == words
