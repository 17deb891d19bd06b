"""A plain search over all of the knowledge: every word typed must be there."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import reverse

from cavyround.knowledge.book import Knowledge
from cavyround.web.library.areas import area_words, is_addition, is_combination

MOST_SHOWN = 60


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that can be found: what it is, its words, and where it stands."""

    kind: str
    title: str
    url: str
    text: str
    urgency: int | None = None

    @property
    def haystack(self) -> str:
        """All its words in small letters."""
        return f"{self.title} {self.text} {self.kind}".casefold()


@dataclass(frozen=True, slots=True)
class Found:
    """What a search came to; ``more`` were found and are not shown."""

    entries: tuple[Entry, ...]
    more: int


def search(book: Knowledge, typed: str) -> Found:
    """Entries that hold every word typed, titles first."""
    words = re.findall(r"[\w']+", typed.casefold())
    if not words:
        return Found((), 0)
    hits = [
        entry for entry, haystack in _index(book.version, book) if all(w in haystack for w in words)
    ]
    hits.sort(key=lambda entry: not all(word in entry.title.casefold() for word in words))
    return Found(tuple(hits[:MOST_SHOWN]), max(0, len(hits) - MOST_SHOWN))


class _Held:
    """The index of the version last asked for."""

    version = ""
    entries: tuple[tuple[Entry, str], ...] = ()


def _index(version: str, book: Knowledge) -> tuple[tuple[Entry, str], ...]:
    if _Held.version != version:
        _Held.entries = tuple((entry, entry.haystack) for entry in _entries(book))
        _Held.version = version
    return _Held.entries


def rule_url(book: Knowledge, rule_id: str) -> str:
    """Where a rule stands; KeyError for one that is not there."""
    rule = book.rule(rule_id)
    if is_addition(rule):
        return f"{reverse('knowledge-additions')}#{rule.id}"
    if is_combination(rule):
        return f"{reverse('knowledge-combinations')}#{rule.id}"
    return f"{reverse('knowledge-area', args=[rule.area])}#{rule.id}"


def _entries(book: Knowledge) -> Iterator[Entry]:
    yield from _steps(book)
    yield from _rules(book)
    yield from _others(book)


def _steps(book: Knowledge) -> Iterator[Entry]:
    for step in book.steps:
        parts = (step.why, *step.look, *step.feel, *step.smell, *step.normal, *step.never)
        more = (
            *(one.words for one in step.varies),
            *(one.words for one in step.matters_more),
            *(one.words for one in step.care),
        )
        url = f"{reverse('knowledge-hold', args=[step.hold])}#{step.code}"
        yield Entry("Step", step.words, url, " ".join((*parts, *more)))


def _rules(book: Knowledge) -> Iterator[Entry]:
    for rule in book.rules:
        kind = "Combination" if is_combination(rule) else area_words(rule.area)
        problems = (book.vocabulary.problems[code].words for code in rule.problems)
        text = " ".join(
            (rule.id, rule.because, *rule.causes, *rule.do_now, *rule.do_not, *problems)
        )
        yield Entry(kind, rule.says, rule_url(book, rule.id), text, int(rule.urgency))


def _others(book: Knowledge) -> Iterator[Entry]:
    url = reverse("knowledge-infections")
    for one in book.infections:
        text = " ".join((one.kind, one.tell_people, *one.notes, *one.not_found))
        yield Entry("Parasite or infection", one.name, f"{url}#{one.id}", text)
    for apart in book.kept_apart:
        yield Entry("Kept apart", apart.words, f"{url}#{apart.id}", f"quarantine {apart.note}")
    url = reverse("knowledge-trade")
    for fact in book.trade:
        yield Entry("Fact of the trade", fact.words, f"{url}#{fact.id}", "")
    url = reverse("knowledge-cautions")
    for caution in book.cautions:
        yield Entry("Caution", caution.words, f"{url}#{caution.id}", caution.subject)
    url = reverse("knowledge-numbers")
    for key, number in book.thresholds.items():
        text = f"{number.holds_for} {number.note} {number.unit}"
        yield Entry("Deciding number", key.replace("_", " "), f"{url}#{key}", text)
    url = reverse("knowledge-sources")
    for key, source in book.sources.items():
        yield Entry("Source", source.title, f"{url}#source-{key}", key)
