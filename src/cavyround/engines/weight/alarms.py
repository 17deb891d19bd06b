"""From concern to an alarm with its level, its sign and its words."""

from cavyround.engines.weight.said import Alarm, Kind
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.facts_of_trade import WeightSign
from cavyround.knowledge.urgency import Urgency


def sign_of(
    kind: Kind, p_lost: dict[int, float], book: Knowledge, *, sure: bool, carrying: bool = False
) -> WeightSign | None:
    """The most urgent sign of a kind that holds; one from few weighings is only looked at again.

    ``carrying`` asks for the sign of a sow that gains as a pregnant one.
    """
    likely = float(book.model_number("likely_from"))
    found = None
    for one in book.weight_signs:
        if one.kind != kind.value or (one.carrying == "yes") is not carrying:
            continue
        holds = one.lost_pct is None or (sure and p_lost[int(one.lost_pct)] >= likely)
        if holds and (found is None or _level(one) > _level(found)):
            found = one
    return found


def _level(sign: WeightSign) -> Urgency:
    return Urgency.from_code(sign.urgency)


def alarm_of(score: float, kind: Kind, sign: WeightSign | None, why: tuple[str, ...]) -> Alarm:
    """The alarm of one weighing; without a sign nothing is said, and the score tells how near."""
    if sign is None:
        return Alarm(score=score)
    words = sign.words[0].upper() + sign.words[1:] + "."
    return Alarm(level=_level(sign), kind=kind, score=score, sign=sign.sign, why=(words, *why))
