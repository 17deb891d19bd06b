"""All the knowledge in one frozen value, and the words for its codes."""

from collections.abc import Collection, Mapping
from datetime import date, timedelta
from decimal import Decimal
from functools import cached_property
from typing import Protocol

from pydantic import field_validator

from cavyround.knowledge.body_condition import BesideWeight, ConditionScore
from cavyround.knowledge.conditions import Strict, Text
from cavyround.knowledge.contagion import Contagion
from cavyround.knowledge.courses import AfterDose, CareCourse, DoseKind
from cavyround.knowledge.facts_of_trade import (
    ApartRule,
    Caution,
    Infection,
    KeptApart,
    Span,
    Threshold,
    TradeFact,
    WeightCourse,
    WeightSign,
)
from cavyround.knowledge.living import Living
from cavyround.knowledge.medicines import Medicines
from cavyround.knowledge.rules import Definition, QuestionAsked, Rule, Source
from cavyround.knowledge.steps import Hold, KitItem, Step
from cavyround.knowledge.topics import Topic
from cavyround.knowledge.urgency import Urgency
from cavyround.knowledge.vocabulary import Vocabulary
from cavyround.knowledge.words import Words


class Observable(Protocol):
    """Anything with the parts of an observation: a value or a row of the record."""

    @property
    def region(self) -> str:
        """Where."""

    @property
    def finding(self) -> str:
        """What."""

    @property
    def side(self) -> str:
        """On which side."""

    @property
    def status(self) -> str:
        """Whether it is there."""

    @property
    def value(self) -> Decimal | None:
        """How much, where measured."""


class Override(Strict):
    """A rescue's own vet's file: who and when."""

    by: Text
    on: Text

    @field_validator("on")
    @classmethod
    def _is_a_day(cls, given: str) -> str:
        try:
            date.fromisoformat(given)
        except ValueError:
            msg = f"{given!r} is no day; write it as 2026-03-01"
            raise ValueError(msg) from None
        return given


class Knowledge(Strict):
    """What the trade knows, as read from the files. ``version`` names its content."""

    version: str
    vocabulary: Vocabulary
    sources: Mapping[str, Source]
    rules: tuple[Rule, ...]
    definitions: Mapping[str, Definition]
    questions: tuple[QuestionAsked, ...]
    holds: tuple[Hold, ...]
    steps: tuple[Step, ...]
    kit: Mapping[str, KitItem]
    infections: tuple[Infection, ...]
    kept_apart: tuple[KeptApart, ...]
    apart_rules: tuple[ApartRule, ...]
    thresholds: Mapping[str, Threshold]
    weight_model: Mapping[str, Threshold]
    weight_courses: tuple[WeightCourse, ...]
    weight_signs: tuple[WeightSign, ...]
    condition_scores: tuple[ConditionScore, ...]
    beside_weight: tuple[BesideWeight, ...]
    cautions: tuple[Caution, ...]
    trade: tuple[TradeFact, ...]
    topics: dict[str, Topic]
    medicines: Medicines
    living: Living
    contagion: Contagion
    care_courses: tuple[CareCourse, ...]
    dose_kinds: Mapping[str, DoseKind]
    after_dose: tuple[AfterDose, ...]
    words: Words
    override: Override | None = None

    @cached_property
    def _steps_by_code(self) -> dict[str, Step]:
        return {step.code: step for step in self.steps}

    @cached_property
    def _rules_by_id(self) -> dict[str, Rule]:
        return {rule.id: rule for rule in self.rules}

    @cached_property
    def _infections_by_id(self) -> dict[str, Infection]:
        return {infection.id: infection for infection in self.infections}

    @cached_property
    def topic_of_line(self) -> dict[str, str]:
        """The topic of each advice line that has one."""
        return {line: name for name, topic in self.topics.items() for line in topic.lines}

    def step(self, code: str) -> Step:
        """The step of a code; KeyError for an unknown one."""
        return self._steps_by_code[code]

    def infection(self, infection_id: str) -> Infection | None:
        """The infection of an id; None for one no longer in the knowledge."""
        return self._infections_by_id.get(infection_id)

    def dose_kinds_of(self, classes: Collection[str], route: str) -> frozenset[str]:
        """The kinds of dose a medicine of these classes given by this route is of."""
        return frozenset(
            code
            for code, kind in self.dose_kinds.items()
            if route in kind.routes or set(classes) & set(kind.classes)
        )

    def rule(self, rule_id: str) -> Rule:
        """The rule of an id; KeyError for an unknown one."""
        return self._rules_by_id[rule_id]

    def number(self, key: str) -> Decimal:
        """A threshold's number; its unit and source stand beside it in ``thresholds``."""
        value = self.thresholds[key].value
        if isinstance(value, Span):
            msg = f"the threshold {key} is a span: ask for it by `span`"
            raise TypeError(msg)
        return value

    def model_number(self, key: str) -> Decimal:
        """A number of the weight model."""
        value = self.weight_model[key].value
        if isinstance(value, Span):
            msg = f"the weight model's {key} is a span: one number is needed"
            raise TypeError(msg)
        return value

    def model_span(self, key: str) -> Span:
        """A number of the weight model that is a span."""
        value = self.weight_model[key].value
        return value if isinstance(value, Span) else Span(low=value, high=value)

    def span(self, key: str) -> Span:
        """A threshold that is a span."""
        value = self.thresholds[key].value
        return value if isinstance(value, Span) else Span(low=value, high=value)

    def urgency_words(self, level: Urgency) -> str:
        """How an urgency is said."""
        return self.vocabulary.urgencies[level.code].words

    def look_again(self, level: Urgency) -> timedelta:
        """How soon an animal of this urgency is looked at again."""
        return timedelta(hours=self.vocabulary.urgencies[level.code].look_again_hours)

    def step_of(self, region: str) -> str:
        """The step a region counts for; empty for a region no longer in the vocabulary."""
        known = self.vocabulary.regions.get(region)
        return known.step if known else ""

    def is_paired(self, region: str) -> bool:
        """Whether there is a left and a right one."""
        known = self.vocabulary.regions.get(region)
        return known is not None and known.paired

    def is_benign(self, finding: str) -> bool:
        """Whether a finding is never alarming by itself; one no longer known may be."""
        known = self.vocabulary.findings.get(finding)
        return known is not None and known.benign

    def finding_words(self, code: str) -> str:
        """A finding's words; the code itself for one no longer in the vocabulary."""
        known = self.vocabulary.findings.get(code)
        return known.words if known else code

    def region_words(self, code: str) -> str:
        """A region's words; the code itself for one no longer in the vocabulary."""
        known = self.vocabulary.regions.get(code)
        return known.words if known else code

    def source_title(self, key: str) -> str:
        """A source's title, with what was read of it."""
        source = self.sources[key]
        return f"{source.title} ({source.read})"

    def place_words(self, region: str, side: str) -> str:
        """A place in words: ``left eye``, ``both ears``, ``belly``."""
        known = self.vocabulary.regions.get(region)
        return known.on_side(side, self.vocabulary.sides[side]) if known else region

    def observation_words(self, seen: Observable) -> str:
        """An observation in one line: ``left eye: discharge (yellow), marked``."""
        finding = _short(self.finding_words(seen.finding))
        kinds = sorted(getattr(seen, "kinds", ()) or ())
        if kinds:
            finding += f" ({', '.join(self.vocabulary.kinds.get(k, k) for k in kinds)})"
        parts = [finding]
        if seen.value is not None:
            parts.append(self._amount(seen.value, getattr(seen, "unit", None) or ""))
        if grade := getattr(seen, "grade", None):
            parts.append(self.vocabulary.grades.get(grade, grade))
        said = ", ".join(parts)
        if seen.status == "absent":
            said = f"no {said}"
        elif seen.status == "uncertain":
            said = f"perhaps {said}"
        place = self.place_words(seen.region, seen.side)
        return said if seen.region == "whole" else f"{place}: {said}"

    @staticmethod
    def _amount(value: Decimal, unit: str) -> str:
        number = f"{value:f}".rstrip("0").rstrip(".") if "." in f"{value:f}" else f"{value:f}"
        return f"{number} {UNIT_SIGNS.get(unit, unit)}"


UNIT_SIGNS = {"per_min": "a minute", "of_5": "of 5", "C": "°C"}


def _short(words: str) -> str:
    """The first of several words for one thing: enough for a line."""
    for joint in (";", " (", " / "):
        words = words.partition(joint)[0]
    return words.strip()
