"""A rescue's own vet's file on top: named, dated, shown, and never in silence."""

from pathlib import Path

import pytest

from cavyround.engines.triage import assess
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.urgency import Urgency
from tests.builders import NOW, a_sow, an_observation

CHANGED = "ears.much_wax"
FILE = f"""
override: {{by: "Dr A. Vet, practice of the rescue", on: 2026-03-01}}
replaces:
  - id: {CHANGED}
    why: "We see mites here; bring them in."
    set: {{urgency: emergency, do_now: ["Bring it in."]}}
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "own.yaml"
    path.write_text(FILE)
    return path


@pytest.fixture
def overridden(file: Path) -> Knowledge:
    return load_knowledge(override=file)


def test_a_changed_rule_says_who_changed_it_when_and_why(overridden: Knowledge) -> None:
    rule = overridden.rule(CHANGED)
    assert rule.urgency is Urgency.EMERGENCY
    assert rule.do_now == ("Bring it in.",)
    assert rule.overridden is not None
    assert (rule.overridden.by, rule.overridden.on, rule.overridden.why) == (
        "Dr A. Vet, practice of the rescue",
        "2026-03-01",
        "We see mites here; bring them in.",
    )


def test_what_is_not_named_stays_as_it_was(book: Knowledge, overridden: Knowledge) -> None:
    before, after = book.rule(CHANGED), overridden.rule(CHANGED)
    assert (after.when, after.sources, after.says) == (before.when, before.sources, before.says)
    others = [rule for rule in overridden.rules if rule.overridden is None]
    assert others == [rule for rule in book.rules if rule.id != CHANGED]


def test_the_whole_knowledge_says_that_it_is_overridden(
    book: Knowledge, overridden: Knowledge
) -> None:
    assert book.override is None
    assert overridden.override is not None
    assert overridden.override.by == "Dr A. Vet, practice of the rescue"


def test_the_version_changes_with_the_file_and_with_every_change_to_it(
    book: Knowledge, overridden: Knowledge, file: Path
) -> None:
    file.write_text(FILE.replace("Bring it in.", "Bring it in today."))
    versions = {book.version, overridden.version, load_knowledge(override=file).version}
    assert len(versions) == 3
    assert all(version.startswith(book.version) for version in versions)


def test_the_same_files_have_the_same_version(book: Knowledge, file: Path) -> None:
    assert load_knowledge().version == book.version
    first, second = load_knowledge(override=file), load_knowledge(override=file)
    assert first.version == second.version


def test_advice_that_rests_on_a_changed_rule_says_so(overridden: Knowledge) -> None:
    dark_wax = an_observation("wax", "ear", kinds=frozenset({"dark"}))
    waxy = a_sow(observations=(dark_wax,))
    answer = assess(waxy, now=NOW, book=overridden)
    told = [one for one in answer.because if one.rule == CHANGED]
    assert [one.overridden_by for one in told] == [
        "Dr A. Vet, practice of the rescue: We see mites here; bring them in."
    ]
