"""A worked-out dose, or its refusal, as the pages show it."""

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from django.utils.safestring import SafeString

from cavyround.advice.book import book
from cavyround.advice.medicines.drawn import draw_words
from cavyround.advice.medicines.shelf import syringe_of
from cavyround.advice.medicines.working import WorkedDose
from cavyround.engines.dosing import Dose, Measure, Syringe, Verdict, syringe_in_hand
from cavyround.engines.dosing.measuring import error_words
from cavyround.facts.quantities import Volume
from cavyround.facts.strengths import Mix
from cavyround.record.models import Product
from cavyround.web.library.citing import Cited, cited
from cavyround.web.medicines.syringe import mark_words, picture

# Inside is said only of what was read in a source; all else says what it is.
VERDICTS = {
    Verdict.INSIDE: ("inside", "Inside the published range"),
    Verdict.OUTSIDE: ("outside", "Outside what is published"),
    Verdict.UNVERIFIED: ("unverified", "Only unverified figures are known"),
    Verdict.NONE_KNOWN: ("none", "No range is known"),
}
MAY_WORDS = {
    "nobody": "nobody may set this aside",
    "vet": "only a vet may set this aside",
    "carer": "to be confirmed by whoever gives it",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """Words with their sources."""

    words: str
    sources: tuple[Cited, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownReason:
    """One reason against a dose."""

    key: str
    words: str
    do: str
    may: str
    may_words: str
    sources: tuple[Cited, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownRange:
    """One published range beside the dose."""

    words: str
    standing: str
    often: str
    sure: str
    note: str
    sources: tuple[Cited, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """All that a page says of one dose. ``dose`` None: it is refused, ``reasons`` say why."""

    worked: WorkedDose
    dose: Dose | None
    draw: str = ""
    is_wash: bool = False
    error: str = ""
    mark: str = ""
    picture: SafeString | str = ""
    verdict: str = ""
    verdict_words: str = ""
    compared: str = ""
    ranges: tuple[ShownRange, ...] = ()
    reasons: tuple[ShownReason, ...] = ()
    cautions: tuple[Said, ...] = ()
    traps: tuple[Said, ...] = ()
    aside: tuple[tuple[str, str, str], ...] = ()

    @property
    def second(self) -> tuple[str, ...]:
        """Why two people work it out."""
        return self.worked.second


def shown(worked: WorkedDose) -> Shown:
    """One dose or refusal as it is shown."""
    known, result = book(), worked.result
    aside = tuple((reason.words, f"{by.by} ({by.role})", by.why) for reason, by in result.set_aside)
    if not isinstance(result, Dose):
        reasons = tuple(
            ShownReason(
                key=one.key,
                words=one.words,
                do=one.do,
                may=one.may,
                may_words=MAY_WORDS.get(one.may, ""),
                sources=cited(known, one.sources),
            )
            for one in result.reasons
        )
        return Shown(worked=worked, dose=None, reasons=reasons, aside=aside)
    code, words = VERDICTS[result.published.verdict]
    return Shown(
        worked=worked,
        dose=result,
        draw=draw_words(worked.order, result),
        is_wash=isinstance(worked.order.dose, Mix),
        error=error_words(result.measure),
        mark=_mark(result.measure),
        picture=_picture(result.measure),
        verdict=code,
        verdict_words=words,
        compared=result.published.words,
        ranges=tuple(
            ShownRange(
                words=one.words,
                standing=str(one.standing),
                often=one.often,
                sure=str(one.sure),
                note=one.note,
                sources=cited(known, one.sources),
            )
            for one in result.published.ranges
        ),
        cautions=_said((one.words, one.sources) for one in result.cautions),
        traps=_said((one.words, one.sources) for one in result.traps),
        aside=aside,
    )


def _said(several: Iterable[tuple[str, tuple[str, ...]]]) -> tuple[Said, ...]:
    known = book()
    return tuple(Said(words=words, sources=cited(known, keys)) for words, keys in several)


def _syringe(measure: Measure) -> Syringe | None:
    """The syringe a measure is for, with its own marks."""
    if not measure.device:
        return None
    if measure.device in book().medicines.syringes:
        return syringe_in_hand(book(), measure.device)
    product = Product.objects.filter(pk=UUID(measure.device)).first()
    return syringe_of(product, book()) if product else None


def _picture(measure: Measure) -> SafeString | str:
    syringe = _syringe(measure)
    if syringe is None or not isinstance(measure.to, Volume):
        return ""
    return picture(syringe, measure.to.ml)


def _mark(measure: Measure) -> str:
    syringe = _syringe(measure)
    if syringe is None or not isinstance(measure.to, Volume):
        return ""
    return mark_words(syringe, measure.to.ml)
