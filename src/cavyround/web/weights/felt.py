"""What a hand felt of the body condition, in words."""

from cavyround.advice.book import book
from cavyround.engines.weight.condition import Felt, Look

LOOKS = {Look.BONY: "thin", Look.IDEAL: "as it should be", Look.ROUND: "fat"}


def felt_words(felt: Felt) -> str:
    """The score with its word, or the word alone where no score was given."""
    if felt.score is None:
        very = "very " if felt.marked and felt.look is not Look.IDEAL else ""
        return f"felt {very}{LOOKS[felt.look]}, no score"
    return f"{felt.score.normalize():f} of 5, {_name(felt)}"


def _name(felt: Felt) -> str:
    """The word of the nearest score; a half step goes by how it counts."""
    for known in book().condition_scores:
        if known.score == felt.score:
            return known.words
    return LOOKS[felt.look]
