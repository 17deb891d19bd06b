"""No page reads a table that grows with the years from end to end.

Timed it would need a record of gigabytes; the plan of each query says it on an empty one.
"""

import re
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import URLResolver, get_resolver, reverse

from cavyround.advice.giving import advise
from cavyround.record.models import Animal, Check, Pen, Person
from cavyround.record.promises import LookAgainAt, ask_vet, promise
from tests.builders import NOW
from tests.web.animals_made import FINISHED, a_check, a_pen, an_animal, discharge, weight
from tests.web.conftest import SignedIn

# As many as the rescue has rooms, people and products, and had outbreaks, not as many as it had
# animals.
SMALL = {"room", "pen", "person", "vetnumber", "herdtaught", "product", "outbreak"}
# A page of the names in order is read from this index and left when it is full; the open
# questions to the vet are found in one that holds neither their words nor their animals; the
# vets of the latest orders, and the latest bonds and quarrels, are read from the newest on, and
# one index holds the standing orders alone.
IN_ORDER = (
    "record_anim_name_",
    "record_vetq_made_at_",
    "record_order_newest",
    "record_tie_newest",
    "standing_orders",
)
SCANNED = re.compile(r"SCAN record_(?P<table>\w+)(?: USING (?:COVERING )?INDEX (?P<index>\w+))?$")


@pytest.fixture
def known(lead: Person, vet: Person) -> Mapping[str, Any]:
    """One of everything a page may be about, by the name its address gives it."""
    animal = an_animal(lead)
    Animal.objects.update(pen=a_pen())
    check = a_check(lead, animal, discharge(), weight(900), FINISHED)
    given = advise(lead, check, NOW)
    return {
        "animal_id": animal.pk,
        "check_id": check.pk,
        "given_id": given.pk,
        "pen_id": Pen.objects.get().pk,
        "pk": vet.pk,
        "follow_up_id": promise(lead, animal, LookAgainAt(due_at=NOW, words="eye"), NOW).pk,
        "question_id": ask_vet(lead, animal, "Is it a cyst?", NOW).pk,
    }


def patterns(
    resolver: URLResolver, before: frozenset[str] = frozenset()
) -> Iterator[tuple[str, frozenset[str]]]:
    """The name of every page, and what its address asks for."""
    for one in resolver.url_patterns:
        asked = before | one.pattern.regex.groupindex.keys()
        if isinstance(one, URLResolver):
            yield from patterns(one, asked)
        elif one.name:
            yield one.name, asked


def addresses(known: Mapping[str, Any]) -> Iterator[str]:
    for name, asked in patterns(get_resolver()):
        if asked <= known.keys():
            yield reverse(name, kwargs={part: known[part] for part in asked})
    yield f"{reverse('animals')}?where=left&page=3"
    yield f"{reverse('animals')}?where=all&q=brack"
    yield f"{reverse('round')}?animal={known['animal_id']}&kind=full"


def read_whole(asked: CaptureQueriesContext) -> dict[str, str]:
    """The tables that are read from end to end, each with the query that does so."""
    found = {}
    for query in asked.captured_queries:
        sql = query["sql"]
        if not sql.startswith(("SELECT", "WITH", "DELETE", "UPDATE")):
            continue
        with connection.cursor() as cursor:
            cursor.execute(f"EXPLAIN QUERY PLAN {sql}")
            steps = [str(row[-1]) for row in cursor.fetchall()]
        for step in steps:
            scanned = SCANNED.match(step)
            if scanned and scanned["table"] not in SMALL and not _may_be(scanned, sql):
                found[scanned["table"]] = sql
    return found


def _may_be(scanned: re.Match[str], sql: str) -> bool:
    """Whether reading stops early."""
    return (scanned["index"] or "").startswith(IN_ORDER) or sql.endswith(" LIMIT 1")


def test_no_page_reads_a_growing_table_from_end_to_end(
    lead: Person, signed_in: SignedIn, known: Mapping[str, Any]
) -> None:
    client = signed_in(lead)
    seen, whole = 0, {}
    for address in addresses(known):
        with CaptureQueriesContext(connection) as asked:
            seen += client.get(address).status_code == 200
        if tables := read_whole(asked):
            whole[address] = tables
    assert whole == {}
    assert seen > 30


def test_keeping_a_check_and_advising_on_it_reads_no_growing_table_from_end_to_end(
    lead: Person, known: Mapping[str, Any]
) -> None:
    animal = Animal.objects.get(pk=known["animal_id"])
    with CaptureQueriesContext(connection) as asked:
        check: Check = a_check(lead, animal, discharge(), weight(890), FINISHED)
        advise(lead, check, NOW)
    assert read_whole(asked) == {}


def test_a_table_read_from_end_to_end_is_noticed(db: None, client: Client) -> None:
    with CaptureQueriesContext(connection) as asked:
        list(Check.objects.filter(kind="full").order_by("kind"))
    assert read_whole(asked).keys() == {"check"}
