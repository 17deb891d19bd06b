"""Lines that only say to go to the vet: in an emergency they are said once, and first."""

import re

RING = "Ring the vet now."
_ONLY_RING = re.compile(
    r"(then )?"
    r"((go to|ring|phone|see|book) )?((a|the|its) )?vet"
    r"( and go| and say you are coming)?"
    r"( now| today| the same day| within days| within 24 hours)?"
    r"( and go| and say you are coming)?( now)?"
    r"(, any hour| if you can)?\.?",
    re.IGNORECASE,
)


def only_says_vet(words: str) -> bool:
    """Whether a line says nothing but that the vet is needed, however soon."""
    return _ONLY_RING.fullmatch(words.strip()) is not None
