"""Cases told in plain words by people who did not write the reader; and what holds of every case.

Each set was sorted untouched first: 75, 55, 56, 58, 80 and 87.5 % were in the accepted set. All but
the sixth have been learned from since, so that their figures here say only that nothing was lost.
"""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cavyround.commands.cases import ready
from cavyround.commands.told_cases import ToldCase, ToldSignalment, coded
from cavyround.commands.triage import read_both, told_answer
from cavyround.engines.triage import urgency_of
from cavyround.engines.weight import weight_signs
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.reading import read_yaml, read_yaml_list
from cavyround.knowledge.urgency import Urgency

FOLDER = Path(__file__).parents[2] / "scenarios" / "spoken"
SETS = {
    "told_cases_1.yaml": 19,
    "told_cases_2.yaml": 19,
    "told_cases_3.yaml": 24,
    "told_cases_4.yaml": 39,
    "told_cases_5.yaml": 57,
    # Read once, when all was done, and not learned from.
    "told_cases_6.yaml": 42,
    # Written after the families stood, read once, and not learned from.
    "told_cases_7.yaml": 34,
}
BOOK = load_knowledge()
ROWS = [row for level in read_yaml(FOLDER / "alarming_words.yaml").values() for row in level]
SAID = [
    (row["region"], said) for row in ROWS if "sex" not in row and "with" not in row
    for said in row["said"]
]  # fmt: skip


@pytest.mark.parametrize("name", SETS)
def test_no_told_emergency_is_missed_and_none_is_sorted_too_low(name: str, book: Knowledge) -> None:
    listed: Any = read_yaml_list(FOLDER / name)
    expected = {one["id"]: one["expected"] for one in listed}
    answers = [told_answer(case, told, book) for case, told in read_both(FOLDER / name, book)]
    fits = 0
    for answer in answers:
        accepted = expected[answer["id"]]["urgency_accept"]
        least = min(Urgency.from_code(code) for code in accepted)
        assert Urgency.from_code(answer["urgency"]) >= least, answer["id"]
        fits += answer["urgency"] in accepted
    assert fits >= SETS[name]


def level(findings: dict[str, str], duration: str) -> Urgency:
    case = ToldCase(
        id="told",
        signalment=ToldSignalment(sex="female", neutered="no", age_months="20", pregnant="no"),
        findings=findings,
        duration=duration,
    )
    readied = ready(coded(case, BOOK).case)
    signs = weight_signs(readied.facts, now=readied.now, book=BOOK)
    return urgency_of(readied.facts, now=readied.now, book=BOOK, signs=signs)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.sampled_from(SAID), min_size=1, max_size=3, unique_by=lambda one: one[0]),
    st.sampled_from(SAID),
    st.sampled_from(["", "Since this morning", "Three weeks", "Swelling since an hour ago"]),
)
def test_one_more_alarming_thing_said_never_lowers_the_urgency(
    told: list[tuple[str, str]], more: tuple[str, str], duration: str
) -> None:
    before = {region: words for region, words in told if region != more[0]}
    assert level({**before, more[0]: more[1]}, duration) >= level(before, duration)
