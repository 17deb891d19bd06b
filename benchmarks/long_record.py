"""A long record: animals that left, with their weighings, written straight into the tables.

The rows are what the record's writers would have left behind, without the touches they were read
from; five million of them through the writers would take a day. SQLite only.
"""

import json
import random
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

CHUNK = 2_000
LONGEST_AGO_DAYS = 3_650
STEPS = ("eyes", "ears", "nose", "front_teeth", "feet", "nails", "skin", "coat")
CACHE_KIB = 2_000_000
ASKED_ONE_IN = 10
URGENCIES = ("normal", "carer_recheck", "vet_days", "vet_24h", "emergency")
# As long as an answer and the facts it rests on mostly are.
ANSWER, FACTS = (json.dumps({"words": "as given " * times}) for times in (90, 220))


@dataclass(frozen=True, slots=True)
class Size:
    """How much history to lay under the animals that are here."""

    animals: int
    weighings: int


Row = tuple[Any, ...]


class _Past:
    """The rows of animals that left, table by table."""

    def __init__(self, size: Size, person: int, now: datetime, seed: int) -> None:
        self.size = size
        self.person = person
        self.now = now
        self.rng = random.Random(seed)  # noqa: S311 -- a seeded record, no secret
        self.rows: dict[str, list[Row]] = {}

    def animals(self) -> Iterator[dict[str, list[Row]]]:
        """The rows of a few animals at a time."""
        each, rest = divmod(self.size.weighings, max(1, self.size.animals))
        for number in range(self.size.animals):
            self._animal(number, each + (number < rest))
            if (number + 1) % CHUNK == 0:
                yield self._taken()
        yield self._taken()

    def _taken(self) -> dict[str, list[Row]]:
        taken, self.rows = self.rows, {}
        return taken

    def _add(self, table: str, *values: Any) -> None:
        self.rows.setdefault(table, []).append(values)

    def _id(self, at: datetime) -> str:
        # As UUIDv7: the moment in front, chance behind.
        millis = int(at.timestamp() * 1000)
        value = (millis << 80) | (7 << 76) | (2 << 62) | self.rng.getrandbits(62)
        return f"{value | (self.rng.getrandbits(12) << 64):032x}"

    def _entry(self, at: datetime) -> Row:
        return (self._id(at), _moment(at), _moment(at), self.person, self.person)

    def _animal(self, number: int, weighings: int) -> None:
        left = self.now - timedelta(days=self.rng.randint(30, LONGEST_AGO_DAYS))
        came = left - timedelta(days=weighings * 7)
        animal = self._id(came)
        born = str(came.date() - timedelta(days=self.rng.randint(60, 1500)))
        sex = self.rng.choice(("sow", "boar"))
        self._add(
            "animal",
            *(animal, f"Past {number}", sex, "sure", "unknown", born, born, "no", None),
            *('["smooth"]', "", None, "", "", None, str(came.date()), str(left.date()), None),
            _moment(came),
        )
        said = json.dumps({"sex": sex})
        self._add("animalstatement", *self._entry(came), animal, said, "")
        came_day, left_day = str(came.date()), str(left.date())
        self._add(
            "arrival", *self._entry(came), animal, came_day, "found", "", "not_known", "", sex
        )
        self._add("departure", *self._entry(left), animal, left_day, "adopted", "", "")
        self._add("move", *self._entry(came), animal, None, _moment(came), "")
        self._weighings(animal, came, weighings)
        if number % ASKED_ONE_IN == 0:
            asked = self._entry(left)
            self._add("vetquestion", *asked, animal, None, "Is this lump harmless?")
            self._add("vetanswer", *self._entry(left), asked[0], "Yes. " * 40)

    def _weighings(self, animal: str, came: datetime, weighings: int) -> None:
        grams = self.rng.randint(500, 1200)
        for week in range(weighings):
            at = came + timedelta(days=7 * week, minutes=self.rng.randint(0, 600))
            check, moment = self._id(at), _moment(at)
            kind = "full" if week % 4 == 0 else "weigh_in"
            self._add("check", check, animal, kind, '["weight"]', moment, self.person, moment, None)
            grams += self.rng.randint(-15, 15)
            weigh_in = (self._id(at), animal, check, moment, self.person, 0)
            self._add("weighin", *weigh_in, grams, f"{grams} g", 0)
            if week == weighings - 1:
                self._last_check(animal, check, at)

    def _last_check(self, animal: str, check: str, at: datetime) -> None:
        moment = _moment(at)
        for step in STEPS:
            state = (self._id(at), animal, check, moment, self.person, 0)
            self._add("stepstate", *state, step, "normal")
        seen = (self._id(at), animal, check, moment, self.person, 0)
        place = ("ears", "ear", "L", "wax", "present", "", "[]", None, "", None, None)
        self._add("observed", *seen, *place)
        advice = (*self._entry(at), animal, check, self.rng.choice(URGENCIES), 0)
        self._add("advicegiven", *advice, ANSWER, FACTS, "0.1", "2026")
        self._add("weightsaid", animal, moment, moment, 0, "", -1.0, None, "", "{}")
        promised = (*self._entry(at), animal, moment, "look again", "ear", "wax", "L")
        self._add("followup", *promised, "carer_recheck", 1, advice[0])
        promise = promised[0]
        self._add("followupoutcome", *self._entry(at), promise, "gone", check, "")


COLUMNS = {
    "advicegiven": "id made_at received_at made_by_id sent_by_id animal_id check_in_id urgency "
    "isolate result inputs software_version knowledge_version",
    "weightsaid": "animal_id last_at said_at level kind score weigh_next_at weigh_why said",
    "vetquestion": "id made_at received_at made_by_id sent_by_id animal_id check_in_id text",
    "vetanswer": "id made_at received_at made_by_id sent_by_id question_id text",
    "animal": "id name sex sex_sure neutered born_earliest born_latest pregnant due_from coat "
    "colour dark_skin identity_marks microchip pen_id arrived_on left_on face_id added_at",
    "animalstatement": "id made_at received_at made_by_id sent_by_id animal_id fields reason",
    "arrival": "id made_at received_at made_by_id sent_by_id animal_id on how came_from source "
    "told sexed_as",
    "departure": "id made_at received_at made_by_id sent_by_id animal_id on how went_to note",
    "move": "id made_at received_at made_by_id sent_by_id animal_id pen_id at why",
    "check": "id animal_id kind planned started_at started_by_id finished_at put_down_at",
    "weighin": "id animal_id check_in_id at by_id corrected grams as_typed doubted",
    "stepstate": "id animal_id check_in_id at by_id corrected step state",
    "observed": "id animal_id check_in_id at by_id corrected step region side finding status grade "
    "kinds value unit began_at mark_id",
    "followup": "id made_at received_at made_by_id sent_by_id animal_id due_at words region "
    "finding side urgency until_gone advice_id",
    "followupoutcome": "id made_at received_at made_by_id sent_by_id follow_up_id outcome "
    "check_in_id reason",
}


def past_rows(
    size: Size, *, person: int, now: datetime, seed: int
) -> Iterator[dict[str, list[Row]]]:
    """The rows by table, those of a few animals at a time."""
    return _Past(size, person, now, seed).animals()


def lay_under(
    database: Path,
    size: Size,
    *,
    person: int,
    now: datetime,
    say: Callable[[str], None] = lambda _: None,
    seed: int = 11,
) -> None:
    """Add the animals that left, and all that was written of them."""
    with closing(sqlite3.connect(database, isolation_level=None)) as base:
        base.execute("PRAGMA journal_mode=OFF")
        base.execute("PRAGMA synchronous=OFF")
        base.execute(f"PRAGMA cache_size=-{CACHE_KIB}")
        indexes = _without_indexes(base)
        done = 0
        for rows in past_rows(size, person=person, now=now, seed=seed):
            base.execute("BEGIN")
            for table, values in rows.items():
                base.executemany(_insert(table), values)
            base.execute("COMMIT")
            done += len(rows.get("animal", ()))
            if done % (CHUNK * 10) == 0:
                say(f"{done:,} of {size.animals:,} past animals written")
        say("making the indexes again")
        for statement in indexes:
            base.execute(statement)
        base.execute("PRAGMA journal_mode=WAL")


def _without_indexes(base: sqlite3.Connection) -> list[str]:
    """Drop the indexes of the tables to fill; returns how to make them again."""
    found = base.execute(
        "SELECT name, sql FROM sqlite_master WHERE type = 'index' AND sql IS NOT NULL "
        "AND tbl_name LIKE 'record_%'"
    ).fetchall()
    for name, _ in found:
        base.execute(f'DROP INDEX "{name}"')
    return [statement for _, statement in found]


def _insert(table: str) -> str:
    columns = COLUMNS[table].split()
    named = ", ".join(f'"{column}"' for column in columns)
    marks = ", ".join("?" * len(columns))
    return f'INSERT INTO "record_{table}" ({named}) VALUES ({marks})'  # noqa: S608 -- our own names


def _moment(at: datetime) -> str:
    return at.astimezone(UTC).strftime("%Y-%m-%d %H:%M:%S")
