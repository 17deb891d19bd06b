"""The words that alone tell an emergency, for a phone that cannot ask the server.

Made from the knowledge's words whenever the round is: the page holds none of its own. It hears
them plainly: it knows no places beside them, and of "not" and "no" only what stands right before.
"""

from collections.abc import Iterator
from typing import Any

from cavyround.engines.conditions.single import single_findings
from cavyround.engines.spoken.lexicon import BETWEEN, expanded, words_of_phrase
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.conditions import Seen
from cavyround.knowledge.rules import Rule
from cavyround.knowledge.urgency import Urgency
from cavyround.knowledge.words import SignWords
from cavyround.web.checking.ringing import only_says_vet

# A lone shorter word ("out", "hard") says too little where no place can be told.
LEAST_LETTERS = 5


def alarm_words(book: Knowledge) -> list[dict[str, Any]]:
    """Each sign that alone fires an emergency rule, with the phrases that say it."""
    rules: dict[tuple[str, str], Rule] = {}
    phrases: dict[tuple[str, str], set[str]] = {}
    for rule, seen in _alone(book):
        for sign in book.words.signs:
            region = _region(sign, seen)
            if region is not None:
                # Of several rules that the same sign fires, the first speaks.
                key = (region, sign.finding)
                rules.setdefault(key, rule)
                phrases.setdefault(key, set()).update(_phrases(sign))
    return [_told(rules[key], *key, _shortest(said)) for key, said in phrases.items() if said]


def denying_words(book: Knowledge) -> list[str]:
    """The words that deny what stands right behind them."""
    said = (phrase for one in book.words.cues["no"].words for phrase in expanded(one))
    return _shortest({" ".join(words_of_phrase(one)) for one in said})


def _alone(book: Knowledge) -> Iterator[tuple[Rule, Seen]]:
    for rule in book.rules:
        if rule.urgency is Urgency.EMERGENCY and rule.when is not None:
            for seen in single_findings(rule.when, book):
                yield rule, seen


def _region(sign: SignWords, seen: Seen) -> str | None:
    """The place a sign is at by its own words, where it fires the rule there; else None."""
    if sign.finding not in seen.finding or sign.status != "present" or seen.grade:
        return None
    if sign.at and not sign.home and sign.near:
        return None
    kinds = set(seen.kind) | set(seen.kind_said)
    if kinds and not kinds & set(sign.kinds):
        return None
    region = sign.to or sign.home
    if not region or (seen.region and region not in seen.region):
        return None
    # "none", "out", "hard": said of a place that was named before.
    return None if sign.at and sign.to else region


def _shortest(phrases: set[str]) -> list[str]:
    """Without those that only go on where another has said it."""
    kept: list[str] = []
    for phrase in sorted(phrases):
        if not (kept and f"{phrase} ".startswith(f"{kept[-1]} ")):
            kept.append(phrase)
    return kept


def _told(rule: Rule, region: str, finding: str, phrases: list[str]) -> dict[str, Any]:
    return {
        "rule": rule.id,
        "region": region,
        "finding": finding,
        "do_now": [words for words in rule.do_now if not only_says_vet(words)],
        "do_not": list(rule.do_not),
        "phrases": phrases,
    }


def _phrases(sign: SignWords) -> Iterator[str]:
    for pattern in sign.words:
        for phrase in dict.fromkeys(expanded(pattern)):
            words = [one for one in words_of_phrase(phrase) if one not in BETWEEN]
            said = " ".join(words)
            if len(said) >= LEAST_LETTERS:
                yield said
