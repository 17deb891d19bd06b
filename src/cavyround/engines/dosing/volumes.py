"""Whether so much may go in by this way at once, and whether two people must work it out."""

from decimal import Decimal

from cavyround.engines.dosing.handing import Handed
from cavyround.engines.dosing.resolving import Resolved
from cavyround.engines.dosing.said import Comparison, Findings, Reason, Verdict
from cavyround.facts.quantities import kilograms, times
from cavyround.facts.saying_amounts import amount_words, number_words
from cavyround.facts.strengths import DosePer, Per
from cavyround.knowledge.book import Knowledge


def look_at_volume(
    resolved: Resolved,
    handed: Handed,
    grams: Decimal | None,
    route: str,
    found: Findings,
    book: Knowledge,
) -> None:
    """The volume that goes in against the most that a route takes."""
    volume = handed.dilution.volume if handed.dilution else resolved.volume
    known = book.medicines.routes.get(route)
    if volume is None or known is None:
        return
    for limit in known.limits:
        most = limit.ml
        if limit.per == "kg":
            if grams is None:
                continue
            most = times(limit.ml, kilograms(grams))
        if volume.ml <= most:
            continue
        words = f"{amount_words(volume)} {known.words} is {limit.words}."
        if limit.may == "said":
            found.say(words, limit.sources)
            continue
        found.reasons.append(
            Reason(
                code="volume_over_limit",
                words=words,
                do="Ask the vet how to split it." if limit.may == "vet" else "Confirm it.",
                may=limit.may,
                about=f"{number_words(limit.ml)} mL per {limit.per}",
                sources=limit.sources,
                at=volume.ml,
            )
        )


def ask_second_person(
    dose: DosePer,
    resolved: Resolved,
    handed: Handed,
    published: Comparison,
    found: Findings,
    book: Knowledge,
) -> None:
    """Every reason for two people to work the dose out, each without seeing the other's."""
    small = book.number("dose_small_volume_ml")
    if resolved.volume is not None and resolved.volume.ml < small:
        found.second.append(f"less than {number_words(small)} mL of the liquid")
    if handed.dilution is not None:
        found.second.append("a liquid is thinned")
    if dose.per is Per.ANIMAL:
        found.second.append("ordered for the whole animal, not per kg")
    if published.verdict is Verdict.OUTSIDE:
        found.second.append("outside what is published")
