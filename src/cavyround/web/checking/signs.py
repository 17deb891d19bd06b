"""Conditions a phone can judge alone: those that rest on a single finding."""

from collections.abc import Iterable

from cavyround.engines.conditions.single import single_findings
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.conditions import Condition, Seen
from cavyround.knowledge.urgency import Urgency
from cavyround.web.checking.ringing import only_says_vet

Sign = dict[str, list[str]]


def as_sign(seen: Seen) -> Sign:
    """A single finding in the form the screen compares touches with."""
    return {
        "findings": list(seen.finding),
        "regions": list(seen.region),
        "kinds": list(seen.kind),
        "kind_said": list(seen.kind_said),
        "grades": list(seen.grade),
    }


def signs_of(conditions: Iterable[Condition], book: Knowledge) -> list[Sign]:
    """All single findings of several conditions."""
    return [as_sign(seen) for one in conditions for seen in single_findings(one, book)]


def emergencies(book: Knowledge) -> list[dict[str, object]]:
    """The emergency rules that one finding alone fires: what says so, what to do, what not."""
    return [
        {
            "rule": rule.id,
            **sign,
            "says": rule.because or rule.says,
            # The alarm's own heading says to ring.
            "do_now": [words for words in rule.do_now if not only_says_vet(words)],
            "do_not": list(rule.do_not),
        }
        for rule in book.rules
        if rule.urgency is Urgency.EMERGENCY and rule.when is not None
        for sign in signs_of([rule.when], book)
    ]
