"""The knowledge as its pages show it: words for codes, and sources beside every statement."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.facts_of_trade import Infection, KeptApart, QuarantineTime, Range
from cavyround.knowledge.rules import Rule
from cavyround.knowledge.steps import Step
from cavyround.web.library.citing import Cited, cited
from cavyround.web.templatetags.words import day

HOURS_PER_DAY = 24
RANGES = {
    "cycle": "Life cycle",
    "incubation": "From catching it to the first signs",
    "infectious": "Passes it on for",
    "off_host": "Lives off the animal for",
    "retreat": "Treated again after",
}
NOT_FOUND = {
    "cycle": "the life cycle",
    "incubation": "the time from catching it to the first signs",
    "infectious": "how long it is passed on",
    "off_host": "how long it lives off the animal",
    "retreat": "when it is treated again",
    "quarantine": "a published time of quarantine",
}


@dataclass(frozen=True, slots=True)
class ShownRule:
    """A finding or combination with its words and sources."""

    rule: Rule
    problems: tuple[str, ...]
    sources: tuple[Cited, ...]
    urgency_sources: tuple[Cited, ...]

    @property
    def catches_animals(self) -> bool:
        """Whether its source says more than a plain no."""
        return self.rule.contagious.strip().lower() != "no"

    @property
    def catches_people(self) -> bool:
        """Whether its source says more than a plain no, or the rule says so."""
        return self.rule.catching_to_people or self.rule.zoonotic.strip().lower() != "no"

    @property
    def do_now(self) -> tuple[str, ...]:
        """What to do; nothing where a normal look asks for nothing."""
        if self.rule.normal and self.rule.do_now == ("Nothing to do.",):
            return ()
        return self.rule.do_now

    @property
    def look_again(self) -> str:
        """Within what time it is looked at again; empty where the urgency's own time holds."""
        hours = self.rule.look_again_hours
        if hours is None:
            return ""
        number, rest = divmod(hours, HOURS_PER_DAY)
        if rest or not number:
            return f"{hours} hour{'' if hours == 1 else 's'}"
        return f"{number} day{'' if number == 1 else 's'}"

    @property
    def overridden_on(self) -> str:
        """The day the rescue's own vet changed it."""
        return override_day(self.rule.overridden.on) if self.rule.overridden else ""


def override_day(given: str) -> str:
    """A day as written in an override file, in words."""
    try:
        return day(date.fromisoformat(given))
    except ValueError:
        return given


def shown_rules(book: Knowledge, rules: Iterable[Rule]) -> tuple[ShownRule, ...]:
    """Rules ready to be shown, in their order."""
    return tuple(
        ShownRule(
            rule,
            tuple(book.vocabulary.problems[code].words for code in rule.problems),
            cited(book, rule.sources),
            cited(book, rule.urgency_sources),
        )
        for rule in rules
    )


@dataclass(frozen=True, slots=True)
class ShownCare:
    """Small care that goes with a step, and what it is offered for."""

    name: str
    words: str
    when_found: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShownOffer:
    """What may be found at one place in a step."""

    place: str
    findings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShownStep:
    """A step with its words and sources."""

    step: Step
    care: tuple[ShownCare, ...]
    kit: tuple[str, ...]
    offers: tuple[ShownOffer, ...]
    trade: tuple[tuple[str, tuple[Cited, ...]], ...]
    sources: tuple[Cited, ...]


def shown_steps(book: Knowledge, hold: str) -> tuple[ShownStep, ...]:
    """The steps of one hold."""
    return tuple(_step(book, step) for step in book.steps if step.hold == hold)


def _step(book: Knowledge, step: Step) -> ShownStep:
    return ShownStep(
        step,
        tuple(
            ShownCare(
                book.vocabulary.care[one.care].words,
                one.words,
                tuple(book.finding_words(code) for code in one.when_found),
            )
            for one in step.care
        ),
        tuple(book.kit[code].words for code in step.kit),
        tuple(
            ShownOffer(book.region_words(region), tuple(map(book.finding_words, findings)))
            for region, findings in step.offers.items()
        ),
        tuple(
            (fact.words, cited(book, fact.sources))
            for fact in book.trade
            if step.code in fact.steps
        ),
        cited(book, step.sources),
    )


@dataclass(frozen=True, slots=True)
class ShownRange:
    """A span of time with its words, note and sources."""

    name: str
    words: str
    note: str
    sources: tuple[Cited, ...]


@dataclass(frozen=True, slots=True)
class ShownInfection:
    """A parasite or an infection with its spans of time."""

    infection: Infection
    ranges: tuple[ShownRange, ...]
    not_found: tuple[str, ...]
    problems: tuple[str, ...]
    sources: tuple[Cited, ...]


def shown_infections(book: Knowledge, kind: str) -> tuple[ShownInfection, ...]:
    """All parasites, or all infections."""
    return tuple(
        ShownInfection(
            one,
            _ranges(book, one),
            tuple(NOT_FOUND.get(name, name) for name in one.not_found),
            tuple(book.vocabulary.problems[code].words for code in one.problems),
            cited(book, one.sources),
        )
        for one in book.infections
        if one.kind == kind
    )


def _ranges(book: Knowledge, one: Infection) -> tuple[ShownRange, ...]:
    shown = []
    for field, name in RANGES.items():
        span: Range | None = getattr(one, field)
        if span is not None:
            shown.append(ShownRange(name, span.words, span.note, cited(book, span.sources)))
    if one.quarantine is not None:
        words = _quarantine(one.quarantine)
        sources = cited(book, one.quarantine.sources)
        shown.append(ShownRange("Kept apart", words, one.quarantine.note, sources))
    return tuple(shown)


def _quarantine(time: QuarantineTime) -> str:
    published = f"published: {time.published}" if time.published else "no published time found"
    if time.proposed_days is None:
        return f"{published}; none proposed"
    return f"{published}; proposed here: {time.proposed_days} days"


@dataclass(frozen=True, slots=True)
class ShownApart:
    """How long to keep apart in one situation."""

    situation: KeptApart
    proposed: str
    sources: tuple[Cited, ...]


def shown_apart(book: Knowledge) -> tuple[ShownApart, ...]:
    """How long to keep apart, situation by situation."""
    return tuple(ShownApart(one, _days(one), cited(book, one.sources)) for one in book.kept_apart)


def _days(one: KeptApart) -> str:
    span = one.proposed
    if span is None:
        return "none proposed"
    return f"{span.low} days" if span.low == span.high else f"{span.low} to {span.high} days"
