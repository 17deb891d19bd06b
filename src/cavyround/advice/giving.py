"""Give advice after a check, and keep it with everything it rested on."""

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from cavyround import __version__
from cavyround.advice.book import book
from cavyround.advice.dose_events import with_dose_events
from cavyround.advice.labour import with_labour_of
from cavyround.advice.settling import settle_by_check
from cavyround.advice.storing import answer_from, as_json
from cavyround.advice.weights import readings_of
from cavyround.engines.triage import Answer, assess
from cavyround.engines.weight import signs_with
from cavyround.engines.weight.said import Reading
from cavyround.facts.animal import AnimalFacts
from cavyround.record.building import facts_of
from cavyround.record.models import AdviceGiven, Check, Person
from cavyround.record.reading_off import sitting_of


def assess_check(check: Check, now: datetime) -> tuple[Answer, dict[str, object]]:
    """What triage says of a check now, and the inputs it said it from."""
    facts = with_dose_events(check.animal, facts_of(check.animal, now, check=check), now)
    facts = with_labour_of(check.animal, facts, now)
    answers = [(a.touch.question, a.touch.answer) for a in sitting_of(check).answers]
    reading = readings_of([check.animal], now)[check.animal_id]
    return _assessed(facts, reading, answers, now)


def _assessed(
    facts: AnimalFacts, reading: Reading, answers: list[tuple[str, int]], now: datetime
) -> tuple[Answer, dict[str, object]]:
    knowledge = book()
    local = timezone.localtime(now)  # the engines count days in the rescue's zone
    signs = signs_with(reading, facts, now=local, book=knowledge)
    answer = assess(facts, now=local, book=knowledge, signs=signs, answers=answers)
    inputs = {
        "facts": as_json(facts),
        "signs": dict(signs.words),
        "answers": [list(one) for one in answers],
    }
    return answer, inputs


@transaction.atomic
def advise(person: Person, check: Check, now: datetime) -> AdviceGiven:
    """Advice on a check, kept with versions and inputs.

    Where the same would be said again on the same knowledge, the advice already
    given is returned: asking twice makes no second entry.
    """
    answer, inputs = assess_check(check, now)
    last = check.advice.first()
    if last is not None and last.inputs == inputs and _says_the_same(last, answer):
        return last
    given = AdviceGiven(
        animal=check.animal,
        check_in=check,
        urgency=answer.urgency.code,
        isolate=bool(answer.isolate),
        result=as_json(answer),
        inputs=inputs,
        software_version=__version__,
        knowledge_version=book().version,
        made_at=now,
        made_by=person,
    )
    given.save()
    settle_by_check(person, check, now)
    return given


def _says_the_same(last: AdviceGiven, answer: Answer) -> bool:
    """Whether nothing but time has passed; with time a promise falls due and hours add up."""
    said, again = last.result, as_json(answer)
    return bool(
        last.knowledge_version == answer.knowledge_version
        and last.software_version == __version__
        and all(said.get(part) == again[part] for part in ("urgency", "because", "do_now"))
    )


def answer_of(given: AdviceGiven) -> Answer:
    """Advice as it was given."""
    return answer_from(given.result)
