"""Words from the table: read at once and shown; nothing of them is recorded here."""

import json
import re
from typing import Any

from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, JsonResponse
from django.views.decorators.http import require_POST

from cavyround.advice.book import book
from cavyround.engines.spoken import read_note
from cavyround.facts.entries import MOST_SAID
from cavyround.knowledge.trained import trained_weights
from cavyround.record.models import Animal
from cavyround.web.checking.naming import id_of
from cavyround.web.checking.read_back import as_json
from cavyround.web.gate import for_recorders

TOO_LONG = (
    f"This is too long to be read at once: up to {MOST_SAID:,} letters are. Nothing is lost; "
    "split it, and read one part after the other."
)
WORDS = re.compile(r"\w+")
NO_WORDS = "There were no words in this. They are still on the phone; send them again."
NOBODY = "Nobody here knows this animal. Load today's list again; the words stay on the phone."


@for_recorders
@require_POST
def said(request: HttpRequest) -> JsonResponse:
    """Read ``{"animal": id, "text": words}``; answers what was read, and keeps nothing."""
    try:
        sent = _sent(request)
    except RequestDataTooBig:
        return JsonResponse({"why": TOO_LONG}, status=413)
    text = sent.get("text")
    if not isinstance(text, str):
        return JsonResponse({"why": NO_WORDS}, status=400)
    if len(text) > MOST_SAID:
        return JsonResponse({"why": TOO_LONG}, status=413)
    animal = Animal.objects.filter(pk=id_of(str(sent.get("animal", "")))).first()
    if animal is None:
        return JsonResponse({"why": NOBODY}, status=404)
    names = _who_may_be_meant(animal, text)
    note = read_note(text, book=book(), pen=names, checking=animal.name, trained=trained_weights())
    return JsonResponse(as_json(note, text, book()))


def _sent(request: HttpRequest) -> dict[str, Any]:
    try:
        sent = json.loads(request.body)
    except (ValueError, RecursionError):
        return {}
    return sent if isinstance(sent, dict) else {}


def _who_may_be_meant(animal: Animal, text: str) -> list[str]:
    """The pen-mates, and whoever else of the house is named with a capital letter.

    In small letters a name of another pen is more often a plain word: rusty, clover, honey.
    """
    said = set(WORDS.findall(text))
    here = Animal.objects.filter(pen__isnull=False).values_list("name", "pen_id")
    return [
        name
        for name, pen in here
        if name == animal.name
        or (animal.pen_id is not None and pen == animal.pen_id)
        or (name[:1].isupper() and said.issuperset(WORDS.findall(name)))
    ]
