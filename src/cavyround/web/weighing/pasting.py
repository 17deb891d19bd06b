"""The box for weights from a notebook or a file: read, looked at, and only then recorded."""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import Animal
from cavyround.web.checking.doubting import readings_each
from cavyround.web.gate import for_recorders, person_of
from cavyround.web.weighing.judging import with_doubts
from cavyround.web.weighing.keeping import keep, without_known
from cavyround.web.weighing.notebook.amounts import Unit
from cavyround.web.weighing.notebook.days import whole_day
from cavyround.web.weighing.notebook.tables import read_table
from cavyround.web.weighing.reading import MOST_LINES, Answers, Line, State, read

if TYPE_CHECKING:
    from django.core.files.uploadedfile import UploadedFile

LARGEST_FILE = 1024 * 1024
UTF_16_MARKS = (b"\xff\xfe", b"\xfe\xff")
UNITS = (
    (Unit.G, "grams"),
    (Unit.OZ, "ounces"),
    (Unit.LB, "pounds, as 2.1"),
    (Unit.KG, "kilograms"),
)


@dataclass(frozen=True, slots=True)
class _Sent:
    """The form as it was sent: the text, what was said beside it, and what is wrong with these."""

    text: str
    source: str
    day: str
    answers: Answers
    faults: dict[str, str]


@for_recorders
def paste(request: HttpRequest) -> HttpResponse:
    """The box; with a text, what it was read as; once that is accepted, what was recorded."""
    if request.method != "POST":
        today = timezone.localdate().isoformat()
        return _page(request, {"text": "", "day": today, "unit": None})
    sent = _sent(request)
    if sent.faults:
        return _page(request, _filled(sent), status=422)
    if request.POST.get("step") == "record":
        return _record(request, sent)
    lines, unused = _read(sent)
    return _page(request, _filled(sent) | _shown(lines, unused))


def _sent(request: HttpRequest) -> _Sent:
    post = request.POST
    faults: dict[str, str] = {}
    text = post.get("text", "").replace("\0", "")
    source = "file" if post.get("source") == "file" else "paste"
    file = request.FILES.get("file")
    if file and text.strip():
        faults["file"] = "There is a text in the box as well: empty the box, or leave out the file."
    elif file:
        text, source = _text_in(file, faults), "file"
    if not text.strip() and not faults:
        faults["text"] = "There is nothing to read yet. Write the weights here, or choose a file."
    if len(text.splitlines()) > MOST_LINES:
        faults["text"] = f"These are more than {MOST_LINES:,} lines. Send them in several parts."
    day = post.get("day", "").strip()
    said = whole_day(day) if day else None
    if day and (said is None or said.on is None):
        faults["day"] = "This is no day. Write 2026-03-04, 4/3/2026 (day first) or 4 March 2026."
    unit = post.get("unit", "")
    answers = Answers(
        unit=Unit(unit) if unit in set(Unit) else None,
        day=said.on if said else None,
        who={name[4:]: str(value) for name, value in post.items() if name.startswith("who-")},
        left_out=frozenset(name[6:] for name in post if name.startswith("leave-")),
    )
    return _Sent(text, source, day, answers, faults)


def _text_in(file: "UploadedFile[bytes]", faults: dict[str, str]) -> str:
    """The text of a file; what is no text is said."""
    if (file.size or 0) > LARGEST_FILE:
        faults["file"] = "This file is too large for a list of weights. Send it in several parts."
        return ""
    text = _decoded(file.read())
    if text is None:
        faults["file"] = "This file holds no text. Save the table as CSV, then choose that file."
    return text or ""


def _decoded(content: bytes) -> str | None:
    """The text of a file as spreadsheets write it; None for what is none."""
    marked = content[:2] in UTF_16_MARKS
    for encoding in ("utf-16",) if marked else ("utf-8-sig", "cp1252"):
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        if all(sign.isprintable() or sign.isspace() for sign in text):
            return text
    return None


def _read(sent: _Sent) -> tuple[list[Line], tuple[str, ...]]:
    now = timezone.now()
    lines, unused = read(sent.text, sent.answers, now)
    return with_doubts(without_known(lines), now), unused


def _record(request: HttpRequest, sent: _Sent) -> HttpResponse:
    """Record what was looked at; if the text came to something else since, it is shown anew."""
    with transaction.atomic():
        lines, unused = _read(sent)
        if request.POST.get("seen") != _digest(lines):
            changed = "This is not quite what you looked at before. Look again, then record it."
            return _page(request, _filled(sent) | _shown(lines, unused) | {"changed": changed})
        receipts = keep(person_of(request), lines, sent.source, timezone.now())
    recorded = [line for line in lines if line.recorded]
    whys = {line.key: receipt.why for line, receipt in zip(recorded, receipts, strict=True)}
    kept = [line for line in recorded if not whys[line.key]]
    left = [
        replace(line, why=whys.get(line.key) or line.why)
        for line in lines
        if whys.get(line.key) or line.state in (State.ASKED, State.UNREADABLE)
    ]
    page = {
        "kept": kept,
        "known": [line for line in lines if line.state is State.KNOWN],
        "left": left,
        "said": _said({line.animal.pk: line.animal for line in kept if line.animal}.values()),
        "text": _still_to_do(sent.text, left),
        "day": sent.day,
        "unit": sent.answers.unit,
    }
    return _page(request, page)


def _still_to_do(text: str, left: Sequence[Line]) -> str:
    """What could not be recorded, as text that is read as it was: with its headers and its days."""
    if not left:
        return ""
    if read_table(text) is not None:
        headers = next(line for line in text.splitlines() if line.strip())
        return "\n".join([headers, *(line.text for line in left)])
    written: list[str] = []
    on = None
    for line in left:
        if line.on and line.on != on:
            on = line.on
            written.append(on.isoformat())
        written.append(line.text)
    return "\n".join(written)


def _said(animals: Iterable[Animal]) -> list[dict[str, Any]]:
    """What the weights of these animals say now, the most urgent first; the well are left out."""
    several = list(animals)
    readings = readings_each(several, timezone.localtime(timezone.now()))
    alarmed = [
        {"animal": one, "level": reading.alarm.level, "why": reading.alarm.why}
        for one in several
        if (reading := readings.get(one.pk)) and reading.alarm.level is not Urgency.NORMAL
    ]
    return sorted(alarmed, key=lambda one: -int(one["level"]))


def _digest(lines: Sequence[Line]) -> str:
    """Names what would be recorded if nothing were left out: what was looked at."""
    told = [
        f"{line.key} {line.state} {line.animal and line.animal.pk} {line.on} {line.grams}"
        for line in lines
        if line.state in (State.NEW, State.DOUBTED)
    ]
    return hashlib.sha256("\n".join(told).encode()).hexdigest()


def _filled(sent: _Sent) -> dict[str, Any]:
    return {
        "text": sent.text,
        "source": sent.source,
        "day": sent.day,
        "unit": sent.answers.unit,
        "who": sent.answers.who,
        "faults": sent.faults,
    }


def _shown(lines: Sequence[Line], unused: Sequence[str]) -> dict[str, Any]:
    return {
        "lines": lines,
        "unused": unused,
        "seen": _digest(lines),
        "to_record": sum(line.recorded for line in lines),
        "asks_unit": any(line.asks_unit for line in lines),
        "open": sum(line.state in (State.ASKED, State.UNREADABLE) for line in lines),
    }


def _page(request: HttpRequest, page: dict[str, Any], status: int = 200) -> HttpResponse:
    fixed = {"here": "weigh-in", "units": UNITS, "most": MOST_LINES}
    return render(request, "web/weighing/paste.html", fixed | page, status=status)
