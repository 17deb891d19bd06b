"""One touch of a check in words."""

from datetime import timedelta
from types import SimpleNamespace

from cavyround.advice.book import book
from cavyround.facts import entries as touches
from cavyround.knowledge.book import Knowledge
from cavyround.record.clocks import ON_THE_WAY
from cavyround.web.animals.sittings import care_words, event_words, observed_words, weight_words


def said_of(touch: touches.AnyTouch) -> str:
    """What a touch says, for a reader."""
    match touch:
        case touches.Found():
            return _found(touch)
        case touches.Weighed():
            typed = f", typed as “{touch.as_typed}”" if touch.as_typed else ""
            return f"Weight {weight_words(touch)}{typed}"
        case touches.Cared():
            return f"Care: {care_words(touch)}"
        case touches.Told():
            return f"Told: {event_words(touch)}"
        case touches.Noted() | touches.Said():
            return _words(touch)
        case touches.Marked():
            return _marked(touch)
        case touches.Answered():
            return _answered(touch)
        case _:
            return _course(touch)


def _words(touch: touches.Noted | touches.Said) -> str:
    if isinstance(touch, touches.Noted):
        return f"Note: {touch.text}"
    waits = ", nobody has looked at what was read in it yet" if touch.waits else ""
    return f"Said{waits}: {touch.text}"


def _found(touch: touches.Found) -> str:
    seen = SimpleNamespace(**{name: getattr(touch, name) for name in OBSERVED})
    lasted = f", for {touch.hours.normalize():f} hours" if touch.hours is not None else ""
    return f"{observed_words(seen).capitalize()}{lasted}"


OBSERVED = ("region", "finding", "side", "status", "grade", "kinds", "value", "unit")


def _marked(touch: touches.Marked) -> str:
    size = f", {touch.size_mm} mm" if touch.size_mm else ""
    words = f": {touch.words}" if touch.words else ""
    return f"Marked on the outline, seen from {touch.view}{size}{words}"


def _answered(touch: touches.Answered) -> str:
    known = {question.id: question for question in book().questions}
    asked = known.get(touch.question)
    if asked is None or touch.answer >= len(asked.answers):
        return f"Answered question {touch.question}"
    return f"{asked.asks} {asked.answers[touch.answer].words}"


def _course(touch: touches.AnyTouch) -> str:
    """The touches that steer the check rather than say what was found."""
    knowledge = book()
    match touch:
        case touches.HoldNormal(hold=hold, steps=steps):
            listed = ", ".join(_step(knowledge, code) for code in steps)
            return f"{_hold(knowledge, hold)}: as it should be ({listed})"
        case touches.StepNormal(step=step):
            return f"{_step(knowledge, step)}: as it should be"
        case touches.StepSkipped(step=step, why=why):
            return f"{_step(knowledge, step)}: left out{f', {why}' if why else ''}"
        case touches.PutDown(why=why):
            return f"Set down before the end{f': {why}' if why else ''}"
        case touches.Finished():
            return "Finished"
        case touches.TakenBack():
            return "Taken back: an entry that has not arrived"
        case touches.Corrected(more=True):
            return "More said of an entry that has not arrived"
        case touches.Corrected(reason=reason):
            return f"Corrected: {reason}"
        case touches.ClockSetRight():
            return _clock_words(touch)
        case _:
            return touch.kind


def _clock_words(touch: touches.ClockSetRight) -> str:
    """How far a phone's clock was off, and what was done about it."""
    count = len(touch.made_at)
    times = f"the time of {count} {'entry' if count == 1 else 'entries'}" if count else "its time"
    if touch.phone is None or abs(touch.phone - touch.here) <= ON_THE_WAY:
        return f"The phone's clock had been wrong: {times} could not be, and is that of arrival"
    side = "ahead" if touch.phone > touch.here else "behind"
    span = _span(abs(touch.phone - touch.here))
    return f"The phone's clock was {span} {side} when this was sent: {times} was set right"


def _span(apart: timedelta) -> str:
    """Minutes, hours or days, in the words of the check screen."""
    minutes = round(apart / timedelta(minutes=1))
    number, unit = minutes, "minute"
    for each, larger in ((60, "hour"), (24, "day")):
        if number >= 2 * each:
            number, unit = round(number / each), larger
    return f"{number} {unit}{'' if number == 1 else 's'}"


def _step(knowledge: Knowledge, code: str) -> str:
    known = {step.code: step.words for step in knowledge.steps}
    return known.get(code, code)


def _hold(knowledge: Knowledge, code: str) -> str:
    return next((hold.words for hold in knowledge.holds if hold.code == code), code)
