"""Cases told in plain words: turned into coded cases, with the words each finding came from."""

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from cavyround.commands.cases import Case, CodedEvent, CodedFinding, Signalment, Weight
from cavyround.engines.spoken import SaidFinding
from cavyround.engines.spoken.telling import Told, hours_of, read_told
from cavyround.facts.animal import Place
from cavyround.facts.observation import Status
from cavyround.knowledge.book import Knowledge

COATS = {
    "long": "long",
    "rex": "rex",
    "satin": "satin",
    "hairless": "hairless",
    "skinny": "hairless",
    "smooth": "smooth",
    "rough": "rough",
    "rosette": "rough",
    "wire": "rex",
}
DARK = re.compile(r"\b(?:black|dark)\b[^,;.]*\b(?:feet|skin|ears|pads|soles)\b", re.IGNORECASE)
# Weights and scores of the check are given beside the findings; these codes stand for themselves.
NOT_CODED = frozenset({"weight", "weight_change"})


class ToldSignalment(BaseModel):
    """Sex, age and so on; coat and skin in plain words."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    sex: str = "unknown"
    neutered: str = "unknown"
    age_months: str = "unknown"
    pregnant: str = "unknown"
    coat_and_skin: str = ""


class ToldCase(BaseModel):
    """One case: findings by region in plain words. Answers beside it are not looked at."""

    model_config = ConfigDict(frozen=True)

    id: str
    setting: Place | None = None
    signalment: ToldSignalment = ToldSignalment()
    weights: tuple[Weight, ...] = ()
    findings: dict[str, str] = Field(default_factory=dict)
    duration: str = ""


@dataclass(frozen=True, slots=True)
class Coded:
    """The case in codes, and what was read from which words."""

    case: Case
    told: Told


def coded(told: ToldCase, book: Knowledge) -> Coded:
    """The case with its words read."""
    words = told.signalment.coat_and_skin
    sex = {"sow": "female", "boar": "male"}.get(told.signalment.sex, told.signalment.sex)
    read = read_told(
        told.findings,
        also=words,
        duration=told.duration,
        book=book,
        sex=sex,
        today=max((one.date for one in told.weights), default=None),
    )
    coats = tuple(dict.fromkeys(code for word, code in COATS.items() if word in words.lower()))
    case = Case(
        id=told.id,
        setting=told.setting,
        signalment=Signalment(
            sex=told.signalment.sex,
            neutered=told.signalment.neutered,
            age_months=told.signalment.age_months,
            pregnant="no" if _is_over_birth(read) else told.signalment.pregnant,
            coat=coats,
            dark_skin=True if DARK.search(words) else None,
        ),
        weights=told.weights,
        findings=tuple(
            _coded(one, text, read, book)
            for one, text in read.findings
            if one.finding not in NOT_CODED and not _is_of_a_pup(one, text, told)
        ),
        events=tuple(CodedEvent(what=what, days_ago=_days(what, read)) for what in read.events),
    )
    return Coded(case, read)


# A pup's droppings are little: only smaller than they were says something. Common practice, no
# source; the age is the vocabulary's for a pup.
PUP_MONTHS = 2
# The round belly of a pup is full of milk; tight, hard or blown up it is not.
FULL = re.compile(r"(belly |tummy |tum )?(nice and )?(round|full|fat|plump|rounded)", re.IGNORECASE)
SMALLER = re.compile(r"\b(\w*er than|smaller|tinier|than (usual|before|normal))\b", re.IGNORECASE)


def _is_of_a_pup(one: SaidFinding, text: str, told: ToldCase) -> bool:
    age = told.signalment.age_months
    if age == "unknown" or Decimal(age) >= PUP_MONTHS:
        return False
    if (one.region, one.finding) == ("droppings", "small"):
        return SMALLER.search(text) is None
    said = " ".join(text[span.start : span.end] for span in one.spans)
    return one.finding == "bloated" and FULL.fullmatch(said) is not None


def _is_over_birth(read: Told) -> bool:
    """Her pups are born and she is not in labour: she is pregnant no more."""
    found = {one.finding for one, _ in read.findings if one.status is not Status.ABSENT}
    labour = "labour_over_limit" in read.events or found & {"straining_birth", "moving_pups"}
    return "gave_birth" in read.events and not labour


def _coded(one: SaidFinding, text: str, read: Told, book: Knowledge) -> CodedFinding:
    known = book.vocabulary.findings[one.finding]
    measured = one.unit in book.vocabulary.units and not isinstance(one.value, str)
    has_amount = measured and one.unit in known.units
    there = one.status is not Status.ABSENT and not known.benign
    return CodedFinding(
        region=one.region,
        finding=one.finding,
        side=one.side,
        status=one.status,
        grade=one.grade,
        kind=tuple(sorted(one.kinds)),
        value=one.value if has_amount and not isinstance(one.value, str) else None,
        unit=one.unit if has_amount else None,
        hours=hours_of(read, one, text, book) if there else None,
    )


def _days(what: str, read: Told) -> int | None:
    """When it was by its own words; an accident or a hot place else of the day the signs began."""
    if what in read.ago:
        return read.ago[what]
    if what not in ("fall_or_blow", "dog_or_cat", "hot_place") or read.hours is None:
        return None
    return int(read.hours // 24)


def is_told(data: Any) -> bool:
    """Whether a case tells its findings by region in plain words."""
    return isinstance(data, dict) and isinstance(data.get("findings"), dict)
