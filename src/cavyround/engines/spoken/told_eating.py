"""Whether a told animal eats nothing: every food that was named was left, and none was taken."""

import re
from collections.abc import Iterable
from dataclasses import replace

from cavyround.engines.spoken.result import SaidFinding
from cavyround.engines.spoken.tokens import Span
from cavyround.facts.observation import Status

LEFT = re.compile(
    r"\b(left|leaves|leaving|untouched|ignor\w+|refus\w+"
    r"|still (all |both |just |sitting |lying |sat |stood )?(in|on) (the|his|her|its|their)"
    r"|still (all )?(there|sitting|lying|sat|full|heaped|brimming|piled)"
    r"|(as|where|just how|exactly how) (i|we|it was) (left|put|filled|served|set)"
    r"|(?<!water )(bowls?|dish|dishes|plate) (is|are|was|were|both) (still )?(full|heaped)"
    r"|(not|n't|nt|never|hardly|won't|wont) (even )?(touch\w*|look\w* at|sniff\w* at))\b",
    re.IGNORECASE,
)
TAKEN = re.compile(
    r"\b(eats|ate|eating|takes|took|taking|nibbl\w+|pick(s|ed|ing)|manag\w+|lick\w*|munch\w*"
    r"|chew\w*|(is|are|all|was) gone(?! off)|empt(y|ied)|vanish\w*|disappear\w*"
    r"|clear(s|ed)|finish\w*|demolish\w*|scoff\w*|hoover\w*|wolf\w*|polish\w*|tuck(s|ed|ing)?"
    r"|drinks|half|some|most|bit|little"
    r"|(only|just|will|still) (wants?|have|has|fancies|likes?|goes for|accepts?)"
    r"(?! (to|water|sips|a drink|some water|cuddles))|prefers?|lives on)\b",
    re.IGNORECASE,
)
# Each word is a food or a meal of its own.
FOODS = re.compile(
    r"\b(hay|veg|greens|salad|grass|cucumber|parsley|pellets|nuggets|(?<!water )bowl|breakfast"
    r"|lunch|dinner|tea|supper|food|(?<!water )dish|plate|(?:this|yesterday) morning'?s"
    r"|(?:last|yesterday) (?:night|evening)'?s|today'?s|yesterday'?s)\b",
    re.IGNORECASE,
)
SEVERAL = 2
# "Pellets still there": one food that stands there yet.
STANDS = re.compile(
    r"(veg|pellets|nuggets|greens|salad)( is| are| was| were)? still"
    r" (there|in (the|his|her) (bowl|dish))",
    re.IGNORECASE,
)
# "Hay all gone", "munching hay", with no "not" before it in its part.
EATEN = re.compile(
    r"\b(hay|grass|rack|cucumber|parsley)( is| are| was| has)?( all)?"
    r" (gone|eaten|finished|cleared)(?! off)"
    r"|\b(munching|munched|eating|ate|tucking into|chewing)( on)?( his| her| the| some| all)*"
    r" (hay|grass|cucumber|parsley)\b",
    re.IGNORECASE,
)
DENIED = re.compile(r"\b(no|not|never|hardly|barely|without|stopped|\w+n.?t|nor)\b", re.IGNORECASE)


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


def left_one_food(one: SaidFinding, text: str) -> SaidFinding:
    """Eating less, where one food stands there still and another is told to be eaten."""
    said = " ".join(text[span.start : span.end] for span in one.spans)
    if one.finding != "not_eating" or STANDS.fullmatch(said) is None:
        return one
    if not any(EATEN.search(part) and not DENIED.search(part) for part in re.split(r"[.;,]", text)):
        return one
    return replace(one, finding="eating_less")
