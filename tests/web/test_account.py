"""Signing in and out, the first account, and one's own page."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from cavyround.record.models import Person
from cavyround.record.people import add_person, let_go
from cavyround.web.account import urls as account_urls
from cavyround.web.library import urls as library_urls
from cavyround.web.people import urls as people_urls
from cavyround.web.today import urls as today_urls
from tests.conftest import PASSWORD
from tests.web.conftest import SignedIn

EVERYBODY = {"lead", "carer", "vet", "viewer"}
LEADS = {"lead"}
# name, arguments, who may, how it is asked for
PAGES: list[tuple[str, list[Any], set[str], str]] = [
    ("today", [], EVERYBODY, "get"),
    ("more", [], EVERYBODY, "get"),
    ("me", [], EVERYBODY, "get"),
    ("people", [], EVERYBODY, "get"),
    ("new-person", [], LEADS, "get"),
    ("vet-numbers", [], LEADS, "get"),
    ("person", ["other"], LEADS, "get"),
    ("person-role", ["other"], LEADS, "post"),
    ("person-password", ["other"], LEADS, "post"),
    ("person-let-go", ["other"], LEADS, "post"),
    ("person-back-in", ["other"], LEADS, "post"),
    ("knowledge", [], EVERYBODY, "get"),
    ("knowledge-hold", ["head"], EVERYBODY, "get"),
    ("knowledge-area", ["eyes"], EVERYBODY, "get"),
    ("knowledge-combinations", [], EVERYBODY, "get"),
    ("knowledge-additions", [], EVERYBODY, "get"),
    ("knowledge-rule", ["eyes.tears_one"], EVERYBODY, "get"),
    ("knowledge-infections", [], EVERYBODY, "get"),
    ("knowledge-numbers", [], EVERYBODY, "get"),
    ("knowledge-trade", [], EVERYBODY, "get"),
    ("knowledge-cautions", [], EVERYBODY, "get"),
    ("knowledge-questions", [], EVERYBODY, "get"),
    ("knowledge-condition", [], EVERYBODY, "get"),
    ("knowledge-sources", [], EVERYBODY, "get"),
]
OPEN = {"sign-in", "sign-out", "first-account"}
REFUSED = 403


def address(name: str, arguments: list[Any], other: Person) -> str:
    return reverse(name, args=[other.pk if one == "other" else one for one in arguments])


def first_account(**changed: str) -> dict[str, str]:
    typed = {
        "shown_name": "Marjorie Oakes",
        "username": "marjorie",
        "password": PASSWORD,
        "again": PASSWORD,
    }
    return typed | changed


def test_the_table_names_every_page_of_these_subjects() -> None:
    subjects = (account_urls, today_urls, people_urls, library_urls)
    owned = {one.name for subject in subjects for one in subject.urlpatterns}
    assert owned == {name for name, *_ in PAGES} | OPEN


@pytest.mark.parametrize(("name", "arguments", "may", "how"), PAGES, ids=[p[0] for p in PAGES])
@pytest.mark.parametrize("role", sorted(EVERYBODY))
def test_each_role_gets_its_pages_and_no_others(
    personas: dict[str, Person],
    signed_in: SignedIn,
    role: str,
    name: str,
    arguments: list[Any],
    may: set[str],
    how: str,
) -> None:
    other = add_person("hetty", PASSWORD, "carer", "Hetty Lowe")
    client = signed_in(personas[role])
    answer = getattr(client, how)(address(name, arguments, other))
    if role in may:
        assert answer.status_code in (200, 302, 422)
    else:
        assert answer.status_code == REFUSED
        assert "Nothing was changed" in answer.content.decode()
        other.refresh_from_db()
        assert other.is_active
        assert other.role == "carer"


@pytest.mark.parametrize(("name", "arguments", "may", "how"), PAGES, ids=[p[0] for p in PAGES])
def test_a_stranger_is_asked_to_sign_in(
    carer: Person, client: Client, name: str, arguments: list[Any], may: set[str], how: str
) -> None:
    answer = getattr(client, how)(address(name, arguments, carer))
    assert answer.status_code == 302
    assert answer.url.startswith(reverse("sign-in"))


@pytest.mark.parametrize("name", ["person-role", "person-password", "person-let-go"])
def test_a_change_is_never_made_by_following_a_link(
    lead: Person, carer: Person, signed_in: SignedIn, name: str
) -> None:
    assert signed_in(lead).get(reverse(name, args=[carer.pk])).status_code == 405


def test_signing_in_leads_to_today(carer: Person, client: Client) -> None:
    answer = client.post(reverse("sign-in"), {"username": "carer", "password": PASSWORD})
    assert answer.status_code == 302
    assert answer.headers["Location"] == reverse("today")


def test_a_phone_that_puts_a_capital_letter_first_signs_in_too(
    carer: Person, client: Client
) -> None:
    answer = client.post(reverse("sign-in"), {"username": "Carer", "password": PASSWORD})
    assert answer.status_code == 302


def test_signing_in_goes_on_to_the_page_that_was_asked_for(carer: Person, client: Client) -> None:
    typed = {"username": "carer", "password": PASSWORD, "next": reverse("people")}
    assert client.post(reverse("sign-in"), typed).headers["Location"] == reverse("people")


def test_signing_in_never_leads_to_another_site(carer: Person, client: Client) -> None:
    typed = {"username": "carer", "password": PASSWORD, "next": "https://elsewhere.invalid/"}
    assert client.post(reverse("sign-in"), typed).headers["Location"] == reverse("today")


def test_a_wrong_password_is_said_and_the_name_is_kept(carer: Person, client: Client) -> None:
    answer = client.post(reverse("sign-in"), {"username": "carer", "password": "wrong"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "do not go together" in page
    assert 'value="carer"' in page
    assert "wrong" not in page


def test_an_empty_sign_in_says_beside_each_field_what_is_missing(
    carer: Person, client: Client
) -> None:
    page = client.post(reverse("sign-in"), {}).content.decode()
    assert "The sign-in name is missing" in page
    assert "Password is missing" in page
    assert 'aria-invalid="true"' in page
    assert 'aria-describedby="id_username_error"' in page


def test_who_was_let_go_cannot_sign_in_and_is_signed_out(
    lead: Person, carer: Person, client: Client, signed_in: SignedIn
) -> None:
    still_open = signed_in(carer)
    let_go(carer)
    assert still_open.get(reverse("today")).status_code == 302
    answer = client.post(reverse("sign-in"), {"username": "carer", "password": PASSWORD})
    assert answer.status_code == 422


def test_signing_out_twice_is_harmless(carer: Person, signed_in: SignedIn) -> None:
    client = signed_in(carer)
    for _ in range(2):
        assert client.post(reverse("sign-out")).headers["Location"] == reverse("sign-in")
    assert client.get(reverse("me")).status_code == 302


def test_signing_out_is_never_done_by_a_link(carer: Person, signed_in: SignedIn) -> None:
    assert signed_in(carer).get(reverse("sign-out")).status_code == 405


def test_only_the_demo_tells_its_accounts(
    carer: Person, client: Client, settings: Settings
) -> None:
    settings.DEMO = False
    assert "demo-herd-only" not in client.get(reverse("sign-in")).content.decode()
    settings.DEMO = True
    page = client.get(reverse("sign-in")).content.decode()
    assert "demo-herd-only" in page
    for account in ("carer", "lead", "vet", "viewer"):
        assert f"<code>{account}</code>" in page


@pytest.mark.django_db
def test_a_rescue_without_people_asks_for_the_first_account(client: Client) -> None:
    assert client.get(reverse("today")).headers["Location"] == reverse("first-account")
    assert client.get(reverse("sign-in")).headers["Location"] == reverse("first-account")


@pytest.mark.django_db
def test_the_first_account_is_a_lead_and_is_signed_in(client: Client) -> None:
    answer = client.post(reverse("first-account"), first_account(), follow=True)
    assert answer.status_code == 200
    assert Person.objects.get().may_lead
    assert "Welcome, Marjorie Oakes" in answer.content.decode()


@pytest.mark.django_db
def test_the_first_account_sent_twice_makes_one_person(client: Client) -> None:
    for _ in range(2):
        assert client.post(reverse("first-account"), first_account()).status_code == 302
    assert Person.objects.count() == 1


def test_nobody_makes_a_first_account_once_there_is_a_person(carer: Person, client: Client) -> None:
    assert client.get(reverse("first-account")).status_code == 302
    client.post(reverse("first-account"), first_account())
    assert Person.objects.get() == carer


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"password": "short", "again": "short"}, "password", "has 5 characters"),
        ({"password": "1234567890", "again": "1234567890"}, "password", "common"),
        ({"again": "something else"}, "again", "not the same"),
        ({"username": "two words"}, "username", "Leave out spaces"),
        ({"username": ""}, "username", "is missing"),
        ({"username": "x" * 151}, "username", "too long"),
        ({"shown_name": ""}, "shown_name", "is missing"),
        ({"shown_name": "x" * 81}, "shown_name", "too long"),
    ],
)
def test_a_fault_of_the_first_account_stands_beside_its_field_and_typing_is_kept(
    client: Client, typed: dict[str, str], field: str, said: str
) -> None:
    answer = client.post(reverse("first-account"), first_account(**typed))
    assert answer.status_code == 422
    page = answer.content.decode()
    fault = page.split(f'id="id_{field}_error"')[1].split("</div>")[0]
    assert said in fault
    kept = "username" if field == "shown_name" else "shown_name"
    assert f'value="{first_account()[kept]}"' in page
    assert PASSWORD not in page
    assert not Person.objects.exists()


@pytest.mark.parametrize(
    ("role", "said"),
    [
        ("lead", "Corrects the entries of others"),
        ("carer", "Records checks, weigh-ins"),
        ("vet", "Answers the questions"),
        ("viewer", "Changes nothing."),
    ],
)
def test_my_page_says_what_i_may_do(
    personas: dict[str, Person], signed_in: SignedIn, role: str, said: str
) -> None:
    page = signed_in(personas[role]).get(reverse("me")).content.decode()
    assert said in page
    assert str(personas[role]) in page


def test_everybody_changes_their_own_password_and_stays_signed_in(
    viewer: Person, signed_in: SignedIn
) -> None:
    client = signed_in(viewer)
    new = "a bale of straw at noon"
    typed = {"current": PASSWORD, "password": new, "again": new}
    assert client.post(reverse("me"), typed, follow=True).status_code == 200
    viewer.refresh_from_db()
    assert viewer.check_password(new)
    assert client.get(reverse("me")).status_code == 200


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"current": "not it"}, "not your password now"),
        ({"password": "short", "again": "short"}, "has 5 characters"),
        ({"again": "another one of it"}, "not the same"),
        ({"current": ""}, "Password now is missing"),
    ],
)
def test_a_faulty_change_of_password_changes_nothing(
    viewer: Person, signed_in: SignedIn, typed: dict[str, str], said: str
) -> None:
    new = "a bale of straw at noon"
    answer = signed_in(viewer).post(
        reverse("me"), {"current": PASSWORD, "password": new, "again": new} | typed
    )
    assert answer.status_code == 422
    assert said in answer.content.decode()
    viewer.refresh_from_db()
    assert viewer.check_password(PASSWORD)


def test_an_unknown_address_says_so_calmly(viewer: Person, signed_in: SignedIn) -> None:
    answer = signed_in(viewer).get("/people/99999")
    assert answer.status_code == REFUSED
    answer = signed_in(viewer).get("/knowledge/findings/elbows")
    assert answer.status_code == 404
    assert "nothing at this address" in answer.content.decode()


@pytest.mark.parametrize("name", ["today", "me", "animals", "knowledge-numbers", "check", "round"])
def test_no_browser_keeps_a_signed_in_page_for_the_next_person(
    name: str, carer: Person, signed_in: SignedIn
) -> None:
    assert "no-store" in signed_in(carer).get(reverse(name))["Cache-Control"]


def test_a_missing_page_is_not_kept_either(carer: Person, signed_in: SignedIn) -> None:
    answer = signed_in(carer).get("/animals/nobody-is-called-so")
    assert answer.status_code == 404
    assert answer["Cache-Control"] == "no-store"


def test_signing_out_clears_what_the_browser_kept_but_not_what_was_entered(
    carer: Person, signed_in: SignedIn
) -> None:
    client = signed_in(carer)
    # The page's own script clears what the worker kept, by these two marks.
    assert "data-signs-out" in client.get(reverse("me")).content.decode()
    answer = client.post(reverse("sign-out"))
    assert answer["Clear-Site-Data"] == '"cache"'
    assert "data-nobody" in client.get(answer["Location"]).content.decode()


def test_the_check_screen_knows_whose_it_is_and_when_it_was_made(
    carer: Person, signed_in: SignedIn
) -> None:
    page = signed_in(carer).get(reverse("check")).content.decode()
    assert f'data-me="{carer.pk}" data-my-name="{carer}" data-made="20' in page
