"""How it stands with small care, as carers of all sorts say it: every care, every status.

The sentences and their meaning stand in a file beside the notes (common practice, no source), and
after them the rules that keep care safe: what is left, refused or to come is never done.
"""

from pathlib import Path

import pytest
import yaml

from cavyround.knowledge.book import Knowledge
from tests.engines.spoken.said import care

SAID = yaml.safe_load(
    (Path(__file__).parents[2] / "scenarios" / "spoken" / "care_told.yaml").read_text("utf-8")
)["said"]
JOBS = (
    ("nails", "nail_trim"),
    ("grease gland", "grease_gland_clean"),
    ("sac", "sac_clean"),
)
TAKEN = (
    ("metacam", "medicine_dose"),
    ("vitamin C", "vitamin_c"),
    ("probiotic", "probiotic"),
    ("antibiotic", "medicine_dose"),
)


@pytest.mark.parametrize("one", SAID, ids=lambda one: one["said"])
def test_a_sentence_tells_the_care_a_carer_means(one: dict[str, object], book: Knowledge) -> None:
    read = sorted(f"{code} {status}" for code, _, status in care(book, str(one["said"])))
    assert read == sorted(one["care"])  # type: ignore[call-overload]


@pytest.mark.parametrize(("place", "code"), JOBS)
@pytest.mark.parametrize(
    "said",
    ["{} still to do", "{} need doing", "his {} will need doing", "I'll do his {} tomorrow"],
)
def test_a_job_to_come_is_never_done(place: str, code: str, said: str, book: Knowledge) -> None:
    read = care(book, said.format(place) + ".")
    assert (code, "N", "planned") in read
    assert not any(status in ("done", "partly") for _, _, status in read)


@pytest.mark.parametrize(("what", "code"), TAKEN)
@pytest.mark.parametrize(
    "said",
    [
        "He refused his {}",
        "Spat out the {}",
        "He wouldn't take his {}",
        "Didn't get his {}",
        "Hasn't had his {} yet",
        "{} not given",
    ],
)
def test_what_was_not_swallowed_is_never_done(
    what: str, code: str, said: str, book: Knowledge
) -> None:
    assert care(book, said.format(what) + ".") == {(code, "N", "not_done")}


@pytest.mark.parametrize(("what", "code"), TAKEN)
@pytest.mark.parametrize(
    "said", ["We've run out of {}", "He's on {} twice a day", "Always give {} with food"]
)
def test_talk_of_a_medicine_gives_none(what: str, code: str, said: str, book: Knowledge) -> None:
    assert code not in {one for one, _, _ in care(book, said.format(what) + ".")}
