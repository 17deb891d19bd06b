"""The signs of the plain rules and of the whole row of weighings, put together for triage."""

from datetime import datetime

from cavyround.engines.weight.herd import read_herd
from cavyround.engines.weight.numbers import HerdNorms
from cavyround.engines.weight.said import Reading
from cavyround.engines.weight.signs import plain_signs
from cavyround.facts.animal import AnimalFacts
from cavyround.facts.weight_signs import WeightSigns
from cavyround.knowledge.book import Knowledge

# What a plain rule says of a difference that may be scatter. A tenth of the body stands as it is.
MAY_BE_SCATTER = frozenset({"loss_5_in_week", "loss_5_slow"})
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
    if IN_DOUBT & words.keys():
        return WeightSigns(words=words)
    alarm = reading.alarm
    if alarm.sign:
        words[alarm.sign] = " ".join(alarm.why)
    if _is_scatter(reading, book):
        return WeightSigns(words=_weighed_again(words))
    if "loss_any" in words:
        words["loss_small"] = words["loss_any"]
    return WeightSigns(words=words)


def _is_scatter(reading: Reading, book: Knowledge) -> bool:
    enough = reading.weighings >= book.model_number("scatter_from_weighings")
    return enough and reading.p_loss[3] < float(book.model_number("scatter_below"))


def _weighed_again(words: dict[str, str]) -> dict[str, str]:
    """A loss of 5 % that may be scatter, as something to weigh again."""
    scatter = MAY_BE_SCATTER & words.keys()
    kept = {sign: said for sign, said in words.items() if sign not in scatter}
    if scatter:
        kept.setdefault("weight_falling", f"{words[min(scatter)]}. It may be scatter: weigh again")
    return kept
