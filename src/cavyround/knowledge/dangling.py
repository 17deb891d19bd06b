"""Find codes, names and sources that point to nothing."""

from collections.abc import Iterable, Iterator

from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.conditions import Condition, Seen
from cavyround.knowledge.courses import AfterDose
from cavyround.knowledge.dangling_contagion import contagion_sources, dangling_in_contagion
from cavyround.knowledge.facts_of_trade import Infection
from cavyround.knowledge.loading_medicines import dangling_in, sources_in
from cavyround.knowledge.loading_words import dangling_words, sources_of
from cavyround.knowledge.rules import Adds
from cavyround.knowledge.steps import Step
from cavyround.knowledge.urgency import Urgency

# Signs that the weight engine computes; a rule may name no other.
WEIGHT_SIGNS = frozenset(
    {
        "loss_5_in_week",
        "loss_10_in_week",
        "loss_5_slow",
        "loss_10",
        "loss_three_running",
        "loss_any",
        "loss_small",
        "gain_sudden",
        "growth_stalled",
        "pup_very_light",
        "pup_losing",
        "weight_doubtful",
        "weight_doubtful_down",
        "light_for_grown",
        "light_age_unknown",
        "not_weighed",
        "weight_falling",
        "weight_lost_5",
        "weight_lost_10",
        "growth_behind",
        "growth_far_behind",
        "pregnancy_behind",
        "pregnancy_falling",
        "weight_gaining",
        "gaining_as_pregnant",
    }
)
COATS = frozenset({"smooth", "rough", "long", "rex", "satin", "hairless"})
PLACES = frozenset({"resident", "new_arrival", "quarantine", "isolation", "nursery", "foster"})


def dangling(book: Knowledge) -> list[str]:
    """Every reference that leads nowhere, as a fault with its path."""
    return [
        *_of_rules(book),
        *_of_names(book),
        *_of_steps(book),
        *_of_topics(book),
        *_of_courses(book),
        *dangling_in_contagion(book),
        *dangling_in(book.medicines),
        *dangling_words(book.words, book.vocabulary),
        *_of_sources(book),
    ]


def _unknown(where: str, what: str, codes: Iterable[str], known: Iterable[str]) -> Iterator[str]:
    for code in sorted(set(codes) - set(known)):
        yield f"{where}: unknown {what} {code!r}"


def _of_rules(book: Knowledge) -> Iterator[str]:
    for rule in book.rules:
        where = f"rule {rule.id}"
        yield from _unknown(where, "problem", rule.problems, book.vocabulary.problems)
        for condition in (rule.when, rule.unless):
            if condition is not None:
                yield from _of_condition(book, condition, where)


def _of_names(book: Knowledge) -> Iterator[str]:
    for named in book.weight_signs:
        yield from _unknown(f"weight_signs {named.sign}", "sign", [named.sign], WEIGHT_SIGNS)
    for name, definition in book.definitions.items():
        yield from _of_condition(book, definition.when, f"definition {name}")
    yield from _circles(book)
    for question in book.questions:
        where = f"question {question.id}"
        yield from _of_condition(book, question.when, where)
        if question.known_by is not None:
            yield from _of_condition(book, question.known_by, where)
        for answer in question.answers:
            yield from _of_adds(book, answer.adds, where)
    for infection in book.infections:
        where = f"infection {infection.id}"
        yield from _unknown(where, "problem", infection.problems, book.vocabulary.problems)
    codes = [step.code for step in book.steps]
    for fact in book.trade:
        yield from _unknown(f"trade fact {fact.id}", "step", fact.steps, codes)
    yield from _unknown(
        "events_of_sows", "event", book.vocabulary.events_of_sows, book.vocabulary.events
    )
    for code, region in book.vocabulary.regions.items():
        yield from _unknown(f"region {code}", "step", [region.step], codes)
    for code, finding in book.vocabulary.findings.items():
        yield from _unknown(f"finding {code}", "kind", finding.kinds, book.vocabulary.kinds)
        yield from _unknown(f"finding {code}", "unit", finding.units, book.vocabulary.units)


def _of_courses(book: Knowledge) -> Iterator[str]:
    infections = [infection.id for infection in book.infections]
    for infection in book.infections:
        like = infection.course.like if infection.course else None
        where = f"infection {infection.id}"
        yield from _unknown(where, "infection", [like] if like else [], infections)
    for care in book.care_courses:
        yield from _unknown(f"care course {care.id}", "care", [care.care], book.vocabulary.care)
    for code, kind in book.dose_kinds.items():
        where = f"dose kind {code}"
        yield from _unknown(where, "class", kind.classes, book.medicines.classes)
        yield from _unknown(where, "route", kind.routes, book.medicines.routes)
    for asked in book.after_dose:
        yield from _of_after_dose(book, asked, f"question after a dose {asked.id}")


def _of_after_dose(book: Knowledge, asked: AfterDose, where: str) -> Iterator[str]:
    yield from _unknown(where, "kind of medicine", asked.kinds, book.dose_kinds)
    questions = [one.id for one in book.after_dose]
    yield from _unknown(where, "question", asked.instead_of, questions)
    yield from _unknown(where, "rule", asked.rules, [rule.id for rule in book.rules])
    events = [asked.adds_event] if asked.adds_event else []
    yield from _unknown(where, "event", events, book.vocabulary.events)
    for answer in asked.answers:
        yield from _of_adds(book, answer.adds, where)


def _of_topics(book: Knowledge) -> Iterator[str]:
    lines = {line for rule in book.rules for line in rule.do_now}
    places: dict[str, str] = {}
    for name, topic in book.topics.items():
        where = f"topic {name}"
        yield from _unknown(where, "line of a rule", topic.lines, lines)
        yield from _unknown(where, "topic", topic.silenced_by, book.topics)
        if topic.silenced_when is not None:
            yield from _of_condition(book, topic.silenced_when, where)
        levels = [level.code for level in Urgency]
        yield from _unknown(where, "urgency", topic.say, levels)
        for line in topic.lines:
            if line in places:
                yield f"{where}: the line {line!r} stands in the topic {places[line]} too"
            places[line] = name


def _circles(book: Knowledge) -> Iterator[str]:
    for name in book.definitions:
        seen, waiting = set(), [name]
        while waiting:
            for other in _names_in(book.definitions[waiting.pop()].when):
                if other == name:
                    yield f"definition {name}: is defined by itself"
                elif other not in seen and other in book.definitions:
                    seen.add(other)
                    waiting.append(other)


def _names_in(condition: Condition) -> Iterator[str]:
    if condition.is_:
        yield condition.is_
    for part in _parts(condition):
        yield from _names_in(part)


def _parts(condition: Condition) -> tuple[Condition, ...]:
    several = condition.at_least.of if condition.at_least else ()
    return (*(condition.all_ or ()), *(condition.any_ or ()), *several)


def _of_condition(book: Knowledge, condition: Condition, where: str) -> Iterator[str]:
    for part in _parts(condition):
        yield from _of_condition(book, part, where)
    if condition.seen is not None:
        yield from _of_seen(book, condition.seen, where)
    if condition.event is not None:
        yield from _unknown(where, "event", condition.event.what, book.vocabulary.events)
    if condition.animal is not None:
        yield from _unknown(where, "coat", condition.animal.coat, COATS)
        yield from _unknown(where, "place", condition.animal.place, PLACES)
    yield from _unknown(where, "sign", condition.sign or (), WEIGHT_SIGNS)
    if condition.is_ is not None:
        yield from _unknown(where, "definition", [condition.is_], book.definitions)


def _of_seen(book: Knowledge, seen: Seen, where: str) -> Iterator[str]:
    vocabulary = book.vocabulary
    yield from _unknown(where, "finding", seen.finding, vocabulary.findings)
    yield from _unknown(where, "region", seen.region, vocabulary.regions)
    yield from _unknown(where, "kind", (*seen.kind, *seen.kind_said), vocabulary.kinds)
    yield from _unknown(where, "grade", seen.grade, vocabulary.grades)
    for amount in (seen.from_, seen.below):
        if amount is not None:
            yield from _unknown(where, "unit", [amount.unit], vocabulary.units)


def _of_adds(book: Knowledge, adds: Adds, where: str) -> Iterator[str]:
    words = book.vocabulary
    if (seen := adds.observation) is not None:
        yield from _unknown(where, "finding", [seen.finding], words.findings)
        yield from _unknown(where, "region", [seen.region], words.regions)
        yield from _unknown(where, "kind", seen.kind, words.kinds)
        yield from _unknown(where, "side", [seen.side], words.sides)
        yield from _unknown(where, "status", [seen.status], words.statuses)
        yield from _unknown(where, "grade", [seen.grade] if seen.grade else [], words.grades)
        yield from _unknown(where, "unit", [seen.unit] if seen.unit else [], words.units)
    if adds.event is not None:
        yield from _unknown(where, "event", [adds.event.what], book.vocabulary.events)


def _of_steps(book: Knowledge) -> Iterator[str]:
    for hold in book.holds:
        for left_out in hold.not_for:
            yield from _of_condition(book, left_out.when, f"hold {hold.code}")
    for step in book.steps:
        yield from _of_step(book, step, f"step {step.code}")
    codes = [step.code for step in book.steps]
    for name, item in book.kit.items():
        yield from _unknown(f"kit {name}", "step", item.for_steps, codes)
        if item.when is not None:
            yield from _of_condition(book, item.when, f"kit {name}")


def _of_step(book: Knowledge, step: Step, where: str) -> Iterator[str]:
    for region, findings in step.offers.items():
        yield from _unknown(where, "region", [region], book.vocabulary.regions)
        yield from _unknown(where, "finding", findings, book.vocabulary.findings)
    for care in step.care:
        yield from _unknown(where, "care", [care.care], book.vocabulary.care)
        yield from _unknown(where, "finding", care.when_found, book.vocabulary.findings)
    yield from _unknown(where, "kit", step.kit, book.kit)
    conditions = [more.when for more in step.matters_more]
    conditions += [left_out.when for left_out in step.not_for]
    for condition in (*conditions, *([step.fits] if step.fits else [])):
        yield from _of_condition(book, condition, where)


def _of_sources(book: Knowledge) -> Iterator[str]:
    for where, keys in _sources_named(book):
        yield from _unknown(where, "source", keys, book.sources)


def _sources_named(book: Knowledge) -> Iterator[tuple[str, tuple[str, ...]]]:
    yield from sources_of(book.words)
    for rule in book.rules:
        yield f"rule {rule.id}", (*rule.sources, *rule.urgency_sources)
    yield from ((f"question {one.id}", one.sources) for one in book.questions)
    yield from ((f"caution {one.id}", one.sources) for one in book.cautions)
    yield from ((f"trade fact {one.id}", one.sources) for one in book.trade)
    yield from ((f"quarantine {one.id}", one.sources) for one in book.kept_apart)
    yield from ((f"hold {one.code}", one.sources) for one in book.holds)
    yield from ((f"step {one.code}", one.sources) for one in book.steps)
    yield from ((f"care course {one.id}", one.sources) for one in book.care_courses)
    yield from ((f"question after a dose {one.id}", one.sources) for one in book.after_dose)
    for name, threshold in book.thresholds.items():
        yield f"threshold {name}", threshold.sources
    for name, threshold in book.weight_model.items():
        yield f"weight_model {name}", threshold.sources
    yield from ((f"weight_courses {one.code}", one.sources) for one in book.weight_courses)
    yield from ((f"weight_signs {one.sign}", one.sources) for one in book.weight_signs)
    for score in book.condition_scores:
        yield f"condition score {score.score}", score.sources
    for beside in book.beside_weight:
        yield f"beside the weight {beside.id}", (*beside.sources, *beside.urgency_sources)
    for apart_rule in book.apart_rules:
        yield "quarantine_rules", apart_rule.sources
    for infection in book.infections:
        yield f"infection {infection.id}", _infection_sources(infection)
    yield from book.living.named_sources
    yield from sources_in(book.medicines)
    yield from contagion_sources(book.contagion)


def _infection_sources(infection: Infection) -> tuple[str, ...]:
    names = ("cycle", "incubation", "infectious", "off_host", "retreat", "quarantine")
    spans = [getattr(infection, name) for name in names]
    keys = [key for span in spans if span is not None for key in span.sources]
    if (course := infection.course) is not None:
        for part in (course.hatch, course.looks_after):
            keys += part.sources if part is not None else ()
        keys += course.sources
    return (*keys, *infection.sources)
