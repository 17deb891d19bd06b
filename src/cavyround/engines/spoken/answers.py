"""Questions that the speaker answers: "Bulging? No. Cloudy? Yes, a bit."."""

from collections.abc import Sequence

from cavyround.engines.spoken.clauses import Clause
from cavyround.facts.observation import Status

YES = frozenset({"yes", "yep", "yeah", "yup", "aye", "definitely", "little", "slightly"})
NO = frozenset({"no", "nope", "nah", "none", "nil", "nothing", "not"})
# Longer ones ask somebody else, or for advice.
LONGEST_QUESTION = 6
LONGEST_ANSWER = 4
ASKS_ANOTHER = frozenset(
    {"you", "your", "they", "we", "i", "pigs", "people", "should", "do", "why"}
)


def answered(clause: Clause, following: Sequence[Clause]) -> bool:
    """Whether a short question is answered at once; then its signs are said to be there or not."""
    if clause.ended != "?" or len(clause.words) > LONGEST_QUESTION or not following:
        return False
    if ASKS_ANOTHER & set(clause.words) or clause.cued("general", "hypothetical", "to_animal"):
        return False
    signs = [item for item in clause.items if item.has("sign")]
    answer = following[0].words
    if following[0].ended == "?" or not signs or not 0 < len(answer) <= LONGEST_ANSWER:
        return False
    if answer[0] in NO:
        for item in signs:
            item.notes["status"] = Status.ABSENT
    elif answer[0] not in YES and answer[:2] != ["a", "bit"]:
        return False
    for item in following[0].items:
        item.used = True
    return True
