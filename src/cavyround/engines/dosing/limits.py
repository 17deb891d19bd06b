"""For which animals a medicine is not: pregnant, suckling, too young, too light."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from cavyround.engines.conditions.signalment import FOR_URGENCY, Signalment
from cavyround.engines.dosing.said import Findings, Reason
from cavyround.engines.dosing.weighing import youngest_days
from cavyround.facts.animal import AnimalFacts
from cavyround.facts.orders import Limits, Order
from cavyround.facts.saying_amounts import number_words
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.sureness import May

VET_SAYS = "Ask the vet: only the vet can decide this, by name and with the reason."
FIND_OUT = "Find out first, or ask the vet, who can decide it by name and with the reason."
# What a vet decides of a weight holds for that weight and none further off.
BY_WEIGHT = ("too_light", "too_heavy")
NEVER = "Do not give it. Ring the vet."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Against:
    """One limit, whoever set it."""

    when: str
    value: Decimal | None = None
    may: May
    words: str
    about: str
    sources: tuple[str, ...] = ()


def look_at_limits(
    order: Order, animal: AnimalFacts, grams: Decimal | None, *, now: datetime, book: Knowledge
) -> Findings:
    """The order's own limits and the formulary's, against what is known of the animal."""
    found = Findings()
    signalment = Signalment(facts=animal, now=now, book=book, doubts=FOR_URGENCY)
    for limit in (*_of_order(order.limits), *_of_formulary(order, book)):
        code, told = _falls_under(limit, signalment, grams)
        if not code:
            continue
        if limit.may == "said":
            found.say(f"{told}: {limit.words}.", limit.sources)
            continue
        do = {"nobody": NEVER, "carer": "Confirm it."}.get(
            limit.may, FIND_OUT if "may_be" in code else VET_SAYS
        )
        reason = Reason(
            code=code,
            words=f"{told}: {limit.words}.",
            do=do,
            may=limit.may,
            about=limit.about,
            sources=limit.sources,
            at=grams if code in BY_WEIGHT else None,
            worse="less" if code == "too_light" else "more",
        )
        found.reasons.append(reason)
    return found


def _of_order(said: Limits) -> Iterator[_Against]:
    if said.not_pregnant:
        yield _Against(when="pregnant", may="vet", words="the order says not then", about="order")
    if said.not_nursing:
        yield _Against(when="nursing", may="vet", words="the order says not then", about="order")
    for when, value, words in (
        ("below_g", said.not_under_g, "the order says not under {} g"),
        ("above_g", said.not_over_g, "the order says not over {} g"),
        ("below_days", said.not_under_days, "the order says not under {} days of age"),
        ("above_days", said.not_over_days, "the order says not over {} days of age"),
    ):
        if value is not None:
            number = Decimal(value)
            told = words.format(number_words(number))
            yield _Against(when=when, value=number, may="vet", words=told, about="order")


def _of_formulary(order: Order, book: Knowledge) -> Iterator[_Against]:
    medicine = book.medicines.named(order.drug)
    route = book.medicines.route_named(order.route)
    for limit in medicine.limits if medicine else ():
        if limit.routes and route and route not in limit.routes:
            continue
        yield _Against(
            when=limit.when,
            value=limit.value,
            may=limit.may,
            words=limit.words,
            about="formulary",
            sources=limit.sources,
        )


def _falls_under(limit: _Against, signalment: Signalment, grams: Decimal | None) -> tuple[str, str]:
    """The code and words of what it is, empty where the limit does not touch it."""
    match limit.when:
        case "pregnant":
            return _pregnant(signalment)
        case "nursing":
            return _nursing(signalment)
        case "below_g" | "above_g":
            return _by_weight(limit, grams)
        case _:
            return _by_age(limit, signalment, grams)


def _pregnant(signalment: Signalment) -> tuple[str, str]:
    if not signalment.may_be_pregnant:
        return "", ""
    if signalment.seems_pregnant:
        return "pregnant", "She is, or is thought to be, pregnant"
    return "may_be_pregnant", "Nobody knows that she is not pregnant"


def _nursing(signalment: Signalment) -> tuple[str, str]:
    days = int(signalment.book.number("dose_nursing_days"))
    if signalment.may_be_sex("sow") and signalment.gave_birth_within(days):
        return "nursing", "She gave birth lately and may be suckling"
    return "", ""


def _by_weight(limit: _Against, grams: Decimal | None) -> tuple[str, str]:
    # Without a weight nothing is worked out at all; that is its own reason.
    if grams is None or limit.value is None:
        return "", ""
    if limit.when == "below_g" and grams < limit.value:
        return "too_light", f"It weighs {number_words(grams)} g"
    if limit.when == "above_g" and grams > limit.value:
        return "too_heavy", f"It weighs {number_words(grams)} g"
    return "", ""


def _by_age(limit: _Against, signalment: Signalment, grams: Decimal | None) -> tuple[str, str]:
    if limit.value is None:
        return "", ""
    born, now, book = signalment.facts.born, signalment.now, signalment.book
    oldest = born.oldest_days(now.date())
    if limit.when == "above_days":
        if oldest is None:
            return "may_be_too_old", "Nobody knows how old it is"
        return ("too_old", f"It may be {oldest} days old") if oldest > limit.value else ("", "")
    youngest = youngest_days(signalment.facts, grams, now=now, book=book)
    if youngest >= limit.value:
        return "", ""
    if oldest is None or oldest >= limit.value:
        return "may_be_too_young", "It may be too young"
    return "too_young", f"It is at most {oldest} days old"
