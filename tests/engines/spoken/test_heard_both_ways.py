"""A word that sounds like another is read as the other only where it is meant so.

Pairs of our own: what a recogniser makes of the word, and the same word meant as it stands. Common
practice, no source; the list of slips stands in ``knowledge/data/words/misheard.yaml``.
"""

import pytest

from cavyround.engines.spoken import read_note
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.trained import trained_weights

# What was heard, the finding meant, and the same word in a sentence of its own.
PAIRS = [
    ("No mights in her fur.", "mites", "He might like the other bowl."),
    ("Left I is weepy.", "watery", "I left the weepy film early."),
    ("Her knows is dry.", "normal", "Nobody knows what he got up to."),
    ("Greece gland is waxy.", "blocked", "We were in Greece in May."),
    ("Small soar on his left hind foot.", "sore", "I saw her under the bridge."),
    ("No puss in the wound.", "discharge", "Next door's puss sat on the lid again."),
    ("Bold patch on his back.", "bald_patch", "He's a bold lad, this one."),
    ("No flees on her.", "fleas", "I put a new fleece in."),
    ("No lies in her coat.", "lice", "She lies in the hay all day."),
    ("No knits in the coat.", "nits", "My gran knits them blankets."),
    ("He's lunched up in the corner.", "hunched", "He's lunched on parsley."),
    ("No coffin.", "coughing", "I could do with a coffee."),
    ("His guns are pale.", "pale", "They had guns at the fair."),
    ("Left year is waxy.", "wax", "She came here last year."),
    ("He's got die a rear.", "diarrhoea", "It's in my diary."),
    ("Bubble foot on the left hind.", "sore", "The kids blew a bubble or two."),
    ("Bit of scarf over the rump.", "flaky", "Somebody left a scarf here."),
    ("Scam on his back.", "scab", "That hay seller was a scam."),
]


# What the second reading still takes for a sign: told here until it does not.
STILL_TAKEN = {"I left the weepy film early."}


def findings(text: str, book: Knowledge, *, twice: bool) -> set[str]:
    trained = trained_weights() if twice else None
    note = read_note(text, book=book, checking="Fudge", trained=trained)
    return {one.finding for animal in note.animals for one in animal.findings}


@pytest.mark.parametrize("twice", [False, True])
@pytest.mark.parametrize(("heard", "meant", "plain"), PAIRS)
def test_a_slip_is_read_as_meant_and_the_plain_word_as_it_stands(
    book: Knowledge, heard: str, meant: str, plain: str, *, twice: bool
) -> None:
    assert meant in findings(heard, book, twice=twice)
    if twice and plain in STILL_TAKEN:
        assert meant in findings(plain, book, twice=twice), "no longer taken: strike it off"
        return
    assert findings(plain, book, twice=twice) <= {"bright", "normal", "eating_normally"} - {meant}
