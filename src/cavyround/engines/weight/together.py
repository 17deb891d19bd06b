"""The signs of the plain rules and of the whole row of weighings, put together for triage."""

from dataclasses import replace
from datetime import datetime, timedelta

from cavyround.engines.weight.columns import STIRRING
from cavyround.engines.weight.herd import read_herd
from cavyround.engines.weight.numbers import HerdNorms
from cavyround.engines.weight.said import Kind, Reading
from cavyround.engines.weight.signs import plain_signs
from cavyround.facts.animal import AnimalFacts
from cavyround.facts.weight_signs import WeightSigns
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.urgency import Urgency

# What a plain rule says of a difference that may be scatter. A tenth of the body stands as it is.
MAY_BE_SCATTER = frozenset({"loss_5_in_week", "loss_5_slow"})
EXCUSES_NOTHING = STIRRING | {"gave_birth", "abortion", "arrived"}
KINDS = {"gain": Kind.GAIN, "growth": Kind.GROWTH, "pup": Kind.GROWTH, "weight": Kind.WEIGH_AGAIN}
IN_DOUBT = frozenset({"weight_doubtful", "weight_doubtful_down"})


def weight_signs(
    facts: AnimalFacts, *, now: datetime, book: Knowledge, norms: HerdNorms | None = None
) -> WeightSigns:
    """All signs of one animal's weights, each in words with its grams, percent and days."""
    reading = read_herd([facts], now=now, book=book, norms=norms)[facts.id]
    return signs_with(reading, facts, now=now, book=book)


def signs_with(
    reading: Reading, facts: AnimalFacts, *, now: datetime, book: Knowledge
) -> WeightSigns:
    """The same for an animal whose weights were already read.

    What its own scatter explains is not called a loss: a small one says nothing, and one
    of 5 % becomes "its weights together say it is losing", to be weighed again and not
    waited out. That is only so where enough weighings are known; of few, the plain rules
    stand as they are.
    """
    words = dict(plain_signs(facts, now=now, book=book).words)
    alarm = reading.alarm
    if alarm.sign:
        words[alarm.sign] = " ".join(alarm.why)
    if IN_DOUBT & words.keys():
        return WeightSigns(words=words)
    if slid := _slid(reading, book):
        words.setdefault("loss_5_slow", slid)
    if _is_scatter(reading, facts, now, book):
        return WeightSigns(words=_weighed_again(words))
    if "loss_any" in words:
        words["loss_small"] = words["loss_any"]
    return WeightSigns(words=words)


def with_plain_signs(
    reading: Reading, facts: AnimalFacts, *, now: datetime, book: Knowledge
) -> Reading:
    """The reading with what the plain rules say beside it: the higher urgency of the two.

    So that a list of weights never says less than the advice after a check would.
    """
    signs = signs_with(reading, facts, now=now, book=book).words
    named = {sign: urgency for sign in signs if (urgency := _urgency(sign, book))}
    level = max(named.values(), default=Urgency.NORMAL)
    alarm = reading.alarm
    if level <= alarm.level:
        return reading
    first = max(named, key=lambda sign: (named[sign], sign))
    said = signs[first][0].upper() + signs[first][1:]
    words = tuple(dict.fromkeys((f"{said.rstrip('.')}.", *alarm.why)))
    kind = alarm.kind or KINDS.get(first.partition("_")[0], Kind.LOSS)
    gap = timedelta(days=float(book.model_number("weigh_gap_worried_days")))
    return replace(
        reading,
        alarm=replace(alarm, level=level, kind=kind, sign=alarm.sign or first, why=words),
        weigh_again_in=gap,
        weigh_why="its weights gave an alarm",
    )


def _urgency(sign: str, book: Knowledge) -> Urgency | None:
    """How urgent a sign is by itself, by the rules that ask for nothing else."""
    alone = (
        rule.urgency
        for rule in book.rules
        if rule.when is not None and sign in (rule.when.sign or ())
    )
    return max(alone, default=None)


def _slid(reading: Reading, book: Knowledge) -> str:
    """A loss so slow that own normal went with it, against the best it held in a year."""
    if reading.best is None or reading.now is None or not reading.sure:
        return ""
    share = (reading.best.mid - reading.now.mid) / reading.best.mid * 100
    if share < float(book.model_number("slid_pct")):
        return ""
    return (
        f"about {share:.0f} % below the most it held within a year: "
        f"{reading.best.mid:.0f} g to {reading.now.mid:.0f} g"
    )


def _is_scatter(reading: Reading, facts: AnimalFacts, now: datetime, book: Knowledge) -> bool:
    """Whether its own scatter explains a plain rule's loss.

    Not while something that stirs it is recent, for then a fall is looked for; and not
    where it has slid below the best it held, for then own normal is no measure.
    """
    enough = reading.weighings >= book.model_number("scatter_from_weighings")
    if not enough or _stirred(facts, now, book) or reading.now is None:
        return False
    best = reading.best.mid if reading.best is not None else reading.now.mid
    slid = (best - reading.now.mid) / best * 100 >= float(book.model_number("scatter_slid_pct"))
    return not slid and reading.p_loss[3] < float(book.model_number("scatter_below"))


def _stirred(facts: AnimalFacts, now: datetime, book: Knowledge) -> bool:
    """Whether it came, gave birth, or was stirred by something not long ago."""
    within = timedelta(days=float(book.model_number("birth_settles_days")))
    happened = [one.on for one in facts.events if one.what in EXCUSES_NOTHING and one.on]
    happened += [facts.arrived_on] if facts.arrived_on else []
    return any(timedelta(0) <= now.date() - on <= within for on in happened)


def _weighed_again(words: dict[str, str]) -> dict[str, str]:
    """A loss of 5 % that may be scatter, as something to weigh again."""
    scatter = MAY_BE_SCATTER & words.keys()
    kept = {sign: said for sign, said in words.items() if sign not in scatter}
    if scatter:
        kept.setdefault("weight_falling", f"{words[min(scatter)]}. It may be scatter: weigh again")
    return kept
