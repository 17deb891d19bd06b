"""Put the advice into few lines: the call first, one line for one act, none against another."""

from dataclasses import dataclass

from cavyround.engines.conditions import Matcher
from cavyround.engines.triage.answer import Line
from cavyround.engines.triage.firing import Fired, highest
from cavyround.knowledge.topics import Topic
from cavyround.knowledge.urgency import Urgency


@dataclass(frozen=True, slots=True)
class _Said:
    """A line with the rules that say it and the topic it belongs to."""

    words: str
    by: list[Fired]
    topic: str


def lines_to_do(
    named: list[Fired], fired: list[Fired], urgency: Urgency, matcher: Matcher
) -> tuple[Line, ...]:
    """What to do now.

    In an emergency only what the emergency asks for: a slower clock or small care
    beside "vet now" costs time. What would harm here is silenced: nothing is fed
    into a tight belly, nothing warmed that is overheated.
    """
    least = Urgency.EMERGENCY if urgency is Urgency.EMERGENCY else Urgency.NORMAL
    said = _gathered(named, least, "do_now", matcher.book.topic_of_line)
    topics = matcher.book.topics
    present = {one.topic for one in said}
    kept = [one for one in said if not _is_silenced(topics.get(one.topic), present, matcher)]
    merged = _merged(kept, topics, urgency)
    first = [one for one in merged if one.topic and topics[one.topic].first]
    rest = [one for one in merged if one not in first]
    return tuple(_line(one) for one in (*(first or _call(topics, fired, urgency)), *rest))


def _call(topics: dict[str, Topic], fired: list[Fired], urgency: Urgency) -> list[_Said]:
    """The call to the vet, also where the urgency rests on rules that may name nothing."""
    if urgency < Urgency.VET_DAYS:
        return []
    by = [one for one in fired if one.urgency is urgency]
    return [
        _Said(topic.say[urgency.code], by, name)
        for name, topic in topics.items()
        if topic.first and urgency.code in topic.say
    ]


def lines_not_to_do(named: list[Fired], urgency: Urgency) -> tuple[Line, ...]:
    """What not to do; in an emergency what speaks of small things is left out."""
    least = Urgency.VET_24H if urgency is Urgency.EMERGENCY else Urgency.NORMAL
    return tuple(_line(one) for one in _gathered(named, least, "do_not", {}))


def _gathered(
    named: list[Fired], least: Urgency, field: str, topic_of: dict[str, str]
) -> list[_Said]:
    said: dict[str, _Said] = {}
    for one in named:
        if one.urgency < least:
            continue
        for words in getattr(one.rule, field):
            said.setdefault(words, _Said(words, [], topic_of.get(words, ""))).by.append(one)
    return list(said.values())


def _is_silenced(topic: Topic | None, present: set[str], matcher: Matcher) -> bool:
    if topic is None:
        return False
    if present & set(topic.silenced_by):
        return True
    return topic.silenced_when is not None and matcher.holds(topic.silenced_when) is not None


def _merged(said: list[_Said], topics: dict[str, Topic], urgency: Urgency) -> list[_Said]:
    """One line where a topic has words of its own for this urgency; the reasons of all stay."""
    merged: dict[str, _Said] = {}
    for one in said:
        own = topics[one.topic].say.get(urgency.code) if one.topic else None
        words = own or one.words
        known = merged.setdefault(words, _Said(words, [], one.topic))
        known.by.extend(fired for fired in one.by if fired not in known.by)
    return list(merged.values())


def _line(said: _Said) -> Line:
    return Line(
        words=said.words,
        urgency=highest(said.by),
        rules=tuple(one.rule.id for one in said.by),
    )
