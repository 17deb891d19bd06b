"""Whether a told animal eats nothing: every food that was named was left, and none was taken."""

import re
from collections.abc import Iterable

from cavyround.engines.spoken.result import SaidFinding
from cavyround.engines.spoken.tokens import Span
from cavyround.facts.observation import Status

LEFT = re.compile(
    r"\b(left|leaves|leaving|untouched|ignor\w+|refus\w+"
    r"|(not|n't|nt|never|hardly|won't|wont) (even )?(touch\w*|look\w* at|sniff\w* at))\b",
    re.IGNORECASE,
)
TAKEN = re.compile(
    r"\b(eats|ate|eating|takes|took|taking|nibbl\w+|pick(s|ed|ing)|manag\w+|lick\w*|munch\w*"
    r"|chew\w*|clear(s|ed)|finish\w*|demolish\w*|scoff\w*|hoover\w*|wolf\w*|polish\w*|tuck(s|ed|ing)?|drinks|half|some|most|bit|little)\b",
    re.IGNORECASE,
)
# Each word is a food or a meal of its own.
FOODS = re.compile(
    r"\b(hay|veg|greens|salad|grass|cucumber|parsley|pellets|nuggets|bowl|breakfast|lunch|dinner"
    r"|tea|supper|food)\b",
    re.IGNORECASE,
)
SEVERAL = 2


def nothing_taken(text: str, read: Iterable[SaidFinding]) -> SaidFinding | None:
    """Not eating, where two or more foods or meals were left and nothing is said to be eaten.

    A single food left is being choosy. Common practice, no source.
    """
    said = LEFT.search(text)
    if said is None or TAKEN.search(text):
        return None
    if any(one.finding in ("not_eating", "eating_normally") for one in read):
        return None
    if len({food.lower() for food in FOODS.findall(text)}) < SEVERAL:
        return None
    return SaidFinding(
        region="appetite",
        finding="not_eating",
        status=Status.PRESENT,
        step="eating",
        spans=(Span(said.start(), len(text)),),
    )
