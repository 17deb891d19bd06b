"""All of the knowledge, with its sources; every page says plainly where there is none."""

from itertools import groupby
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from cavyround.advice.book import book
from cavyround.web.gate import for_readers
from cavyround.web.library.areas import area_words, areas_of, is_addition, is_combination
from cavyround.web.library.citing import KINDS, cited
from cavyround.web.library.search import rule_url, search
from cavyround.web.library.shown import (
    override_day,
    shown_apart,
    shown_infections,
    shown_rules,
    shown_steps,
)

LONGEST_SEARCH = 80
SUBJECTS = {
    "vet": "What this is, and what a vet is for",
    "hygiene": "Hygiene",
    "zoonosis": "What people can catch",
    "children_and_pregnancy": "Children, and people who expect one",
    "bites": "Bites",
    "restraint": "Holding an animal",
    "medicines": "Medicines",
    "law": "The law",
}


def _page(request: HttpRequest, name: str, words: dict[str, Any]) -> HttpResponse:
    # The address is asked for once, not once for each of a page's hundreds of sources.
    sources_url = reverse("knowledge-sources")
    held = {"here": "knowledge", "knowledge": book(), "sources_url": sources_url, **words}
    return render(request, f"web/library/{name}.html", held)


@for_readers
def index(request: HttpRequest) -> HttpResponse:
    """What there is, and a search over all of it."""
    known = book()
    typed = request.GET.get("q", "").strip()[:LONGEST_SEARCH]
    findings = [rule for rule in known.rules if not is_combination(rule)]
    added = [rule for rule in known.rules if is_addition(rule)]
    counts = {area: sum(rule.area == area for rule in findings) for area in areas_of(known)}
    words = {
        "typed": typed,
        "found": search(known, typed) if typed else None,
        "holds": [
            (hold, [step for step in known.steps if step.hold == hold.code]) for hold in known.holds
        ],
        "areas": [(code, area_words(code), count) for code, count in counts.items()],
        "combinations": len(known.rules) - len(findings) - len(added),
        "additions": len(added),
        "overridden": [rule for rule in known.rules if rule.overridden],
        "overridden_on": override_day(known.override.on) if known.override else "",
    }
    return _page(request, "index", words)


@for_readers
def hold(request: HttpRequest, code: str) -> HttpResponse:
    """The steps done in one hold."""
    known = book()
    holds = {one.code: one for one in known.holds}
    if code not in holds:
        raise Http404
    one = holds[code]
    words = {
        "hold": one,
        "hold_sources": cited(known, one.sources),
        "holds": known.holds,
        "steps": shown_steps(known, code),
    }
    return _page(request, "hold", words)


@for_readers
def area(request: HttpRequest, code: str) -> HttpResponse:
    """The findings of one area: what is normal first, then what is not."""
    known = book()
    if code not in areas_of(known):
        raise Http404
    rules = [rule for rule in known.rules if rule.area == code and not is_combination(rule)]
    words = {
        "name": area_words(code),
        "normal": shown_rules(known, (rule for rule in rules if rule.normal)),
        "rules": shown_rules(known, (rule for rule in rules if not rule.normal)),
        "areas": [(one, area_words(one)) for one in areas_of(known)],
        "code": code,
    }
    return _page(request, "area", words)


@for_readers
def combinations(request: HttpRequest) -> HttpResponse:
    """The combination rules of the findings' tables."""
    known = book()
    rules = (rule for rule in known.rules if is_combination(rule) and not is_addition(rule))
    return _page(request, "combinations", {"rules": shown_rules(known, rules)})


@for_readers
def additions(request: HttpRequest) -> HttpResponse:
    """Our own additions to them."""
    known = book()
    rules = (rule for rule in known.rules if is_addition(rule))
    return _page(request, "additions", {"rules": shown_rules(known, rules)})


@for_readers
def rule(request: HttpRequest, rule_id: str) -> HttpResponse:
    """Lead from a rule's id to where it stands."""
    try:
        return redirect(rule_url(book(), rule_id))
    except KeyError:
        raise Http404 from None


@for_readers
def infections(request: HttpRequest) -> HttpResponse:
    """Parasites and infections with their spans of time, and what was not found."""
    known = book()
    words = {
        "parasites": shown_infections(known, "parasite"),
        "infections": shown_infections(known, "infection"),
        "apart": shown_apart(known),
        "apart_rules": [(one.words, cited(known, one.sources)) for one in known.apart_rules],
    }
    return _page(request, "infections", words)


@for_readers
def numbers(request: HttpRequest) -> HttpResponse:
    """Every number that decides something."""
    known = book()
    words = {
        "numbers": [
            (key, number, cited(known, number.sources)) for key, number in known.thresholds.items()
        ]
    }
    return _page(request, "numbers", words)


@for_readers
def condition(request: HttpRequest) -> HttpResponse:
    """What each score of the body condition is, and what it means beside the weight."""
    known = book()
    words = {
        "scores": [(one, cited(known, one.sources)) for one in known.condition_scores],
        "beside": [
            (one, cited(known, one.sources), cited(known, one.urgency_sources))
            for one in known.beside_weight
        ],
    }
    return _page(request, "condition", words)


@for_readers
def trade(request: HttpRequest) -> HttpResponse:
    """Facts of the trade."""
    known = book()
    words = {
        "facts": [
            (fact, [known.step(code) for code in fact.steps], cited(known, fact.sources))
            for fact in known.trade
        ]
    }
    return _page(request, "trade", words)


@for_readers
def cautions(request: HttpRequest) -> HttpResponse:
    """The standing cautions, by subject."""
    known = book()
    groups = [
        (name, [(c, cited(known, c.sources)) for c in known.cautions if c.subject == code])
        for code, name in SUBJECTS.items()
    ]
    return _page(request, "cautions", {"groups": groups})


@for_readers
def questions(request: HttpRequest) -> HttpResponse:
    """What a carer may be asked, and the kit that is laid out."""
    known = book()
    words = {
        "questions": [(one, cited(known, one.sources)) for one in known.questions],
        "definitions": sorted(one.words for one in known.definitions.values()),
        "always": [item for item in known.kit.values() if item.always],
        "sometimes": [item for item in known.kit.values() if not item.always],
    }
    return _page(request, "questions", words)


@for_readers
def sources(request: HttpRequest) -> HttpResponse:
    """Every source, and how much of it was read."""
    known = book()
    order = list(KINDS)
    held = sorted(known.sources.items(), key=lambda one: (order.index(one[1].kind), one[0]))
    groups = [
        (name, list(members)) for name, members in groupby(held, key=lambda one: KINDS[one[1].kind])
    ]
    return _page(request, "sources", {"groups": groups})
