"""Every kind of fault a knowledge file can have is named with its file and its path."""

import shutil
from pathlib import Path

import pytest

from cavyround.knowledge.loading import DATA, load_knowledge
from cavyround.knowledge.reading import KnowledgeFaultError

BROKEN = Path(__file__).parent / "broken"
NEW = "findings/broken.yaml"
RULE = f"{NEW}: rules[broken.rule]"
LATE = f"{NEW}: rule broken.rule"

WORDS = "words/broken.yaml"
# The broken file, where it is laid, and the fault that must be named.
FAULTS = [
    ("words_without_source", WORDS, f"{WORDS}: source: is missing"),
    ("words_section_twice", WORDS, "words/kinds.yaml: kinds: stands in another file too"),
    ("words_not_a_list", WORDS, f"{WORDS}: signs: must be a list"),
    ("words_unknown_key", WORDS, f"{WORDS}: signs.0.colour: unknown key"),
    ("words_unknown_codes", WORDS, "words: unknown finding 'fnord'"),
    ("words_unknown_codes", WORDS, "words: unknown region 'wing'"),
    ("words_unknown_codes", WORDS, "words: unknown kind 'plaid'"),
    ("words_unknown_codes", WORDS, "words: signs fnord: unknown region '@tail'"),
    ("words_unknown_codes", WORDS, "words: unknown care 'hat_fitted'"),
    ("words_unknown_codes", WORDS, "words: unknown event 'eclipse'"),
    ("unknown_key", NEW, f"{RULE}.urgent: unknown key"),
    ("unknown_key_in_condition", NEW, f"{RULE}.when.seen.colour: unknown key"),
    ("a_not_in_a_condition", NEW, f"{RULE}.when.not: unknown key"),
    ("key_twice", NEW, "broken.yaml: the key 'urgency' is given twice (line 7)"),
    ("unknown_finding", NEW, f"{LATE}: unknown finding 'fnord'"),
    ("unknown_region", NEW, f"{LATE}: unknown region 'wing'"),
    ("unknown_kind", NEW, f"{LATE}: unknown kind 'plaid'"),
    ("unknown_kind_said", NEW, f"{LATE}: unknown kind 'plaid'"),
    ("unknown_unit", NEW, f"{LATE}: unknown unit 'cubits'"),
    ("unknown_grade", NEW, f"{LATE}: unknown grade 'enormous'"),
    ("unknown_event", NEW, f"{LATE}: unknown event 'eclipse'"),
    ("unknown_sign", NEW, f"{LATE}: unknown sign 'loss_of_nerve'"),
    ("unknown_coat", NEW, f"{LATE}: unknown coat 'tweed'"),
    ("unknown_place", NEW, f"{LATE}: unknown place 'attic'"),
    ("unknown_definition", NEW, f"{LATE}: unknown definition 'purple'"),
    ("unknown_problem", NEW, f"{LATE}: unknown problem 'lost_marbles'"),
    ("unknown_source", NEW, f"{LATE}: unknown source 'HEARSAY'"),
    ("unknown_urgency_source", NEW, f"{LATE}: unknown source 'HEARSAY'"),
    ("missing_source", NEW, f"{RULE}.sources: is missing"),
    ("no_source_at_all", NEW, f"{RULE}.sources: "),
    ("missing_urgency_source", NEW, f"{RULE}.urgency_sources: is missing"),
    ("missing_when", NEW, f"{RULE}: a rule needs `when`"),
    ("two_conditions_in_one", NEW, f"{RULE}.when: a condition has exactly one of all, any"),
    ("empty_condition", NEW, f"{RULE}.when: a condition has exactly one of all, any"),
    ("unknown_urgency", NEW, f"{RULE}.urgency: unknown urgency 'soonish'; one of normal"),
    ("urgent_normal", NEW, f"{RULE}: a normal look cannot be urgent"),
    ("at_least_one", NEW, f"{RULE}.when.at_least.count: "),
    ("no_number", NEW, f"{RULE}.when.seen.from.value: "),
    (
        "id_twice",
        NEW,
        "findings/broken.yaml and rules/combinations.yaml: rule K01: is there twice",
    ),
    ("wrong_section", NEW, f"{NEW}: unknown section 'steps'; this file holds 'rules'"),
    ("not_yaml", NEW, "broken.yaml: "),
    ("no_sections", NEW, "broken.yaml: the file must hold named sections"),
    ("not_a_list", NEW, f"{NEW}: rules: must be a list"),
    ("odd_key", NEW, "broken.yaml: a key must be one word (line 2)"),
    ("no_named_entries", "sources.yaml", "sources.yaml: sources: must hold named entries"),
    (
        "definition_in_a_circle",
        "rules/definitions.yaml",
        "rules/definitions.yaml: definition hen: is defined by itself",
    ),
    (
        "range_upside_down",
        "infections.yaml",
        "infections.yaml: infections[upside_down].cycle: a range runs upwards: 14 to 10",
    ),
    (
        "range_without_ends",
        "infections.yaml",
        "infections.yaml: infections[endless].off_host: a range needs a low or a high end",
    ),
    (
        "apart_rule_unknown_source",
        "infections.yaml",
        "infections.yaml: quarantine_rules: unknown source 'HEARSAY'",
    ),
    (
        "threshold_unknown_source",
        "thresholds.yaml",
        "thresholds.yaml: threshold loss_5_in_week: unknown source 'HEARSAY'",
    ),
    (
        "step_with_unknown_codes",
        "steps/9-broken.yaml",
        "steps/9-broken.yaml: step broken_step: unknown region 'wing'",
    ),
    (
        "step_with_unknown_codes",
        "steps/9-broken.yaml",
        "steps/9-broken.yaml: step broken_step: unknown care 'hat_fitted'",
    ),
    (
        "step_with_unknown_codes",
        "steps/9-broken.yaml",
        "steps/9-broken.yaml: step broken_step: unknown kit 'crowbar'",
    ),
    (
        "question_with_one_answer",
        "rules/questions.yaml",
        "rules/questions.yaml: questions[Q.one].answers: ",
    ),
    (
        "question_that_adds_nonsense",
        "rules/questions.yaml",
        "rules/questions.yaml: question Q.odd: unknown side 'port'",
    ),
    (
        "question_that_adds_nonsense",
        "rules/questions.yaml",
        "rules/questions.yaml: question Q.odd: unknown event 'eclipse'",
    ),
    (
        "beside_without_a_hand",
        "body_condition.yaml",
        "body_condition.yaml: beside_weight[beside.odd].when: what stands beside the weight needs",
    ),
    (
        "beside_without_a_hand",
        "body_condition.yaml",
        "body_condition.yaml: beside_weight[beside.odd].urgency: unknown urgency 'soonish'",
    ),
    (
        "condition_unknown_source",
        "body_condition.yaml",
        "body_condition.yaml: condition score 3: unknown source 'HEARSAY'",
    ),
    (
        "condition_unknown_source",
        "body_condition.yaml",
        "body_condition.yaml: beside the weight beside.odd: unknown source 'HEARSAY'",
    ),
    (
        "course_unknown_codes",
        "courses.yaml",
        "courses.yaml: care course odd_care: unknown care 'hat_fitted'",
    ),
    (
        "course_unknown_codes",
        "courses.yaml",
        "courses.yaml: care course odd_care: unknown source 'HEARSAY'",
    ),
    (
        "course_unknown_codes",
        "courses.yaml",
        "courses.yaml: question after a dose AD.odd: unknown kind of medicine 'snake_oil'",
    ),
    (
        "course_unknown_codes",
        "courses.yaml",
        "courses.yaml: question after a dose AD.odd: unknown rule 'K99'",
    ),
    (
        "course_unknown_codes",
        "courses.yaml",
        "courses.yaml: question after a dose AD.odd: unknown question 'AD.none'",
    ),
    (
        "course_unknown_codes",
        "courses.yaml",
        "courses.yaml: question after a dose AD.odd: unknown event 'eclipse'",
    ),
    (
        "course_unknown_codes",
        "courses.yaml",
        "courses.yaml: question after a dose AD.odd: unknown region 'wing'",
    ),
    (
        "course_unknown_codes",
        "courses.yaml",
        "courses.yaml: dose kind odd: unknown class 'alchemy'",
    ),
    (
        "course_unknown_codes",
        "courses.yaml",
        "courses.yaml: dose kind odd: unknown route 'by_owl'",
    ),
    (
        "contagion_unknown_codes",
        "contagion.yaml",
        "contagion.yaml: outbreak odd: unknown infection 'moon_fever'",
    ),
    (
        "contagion_unknown_codes",
        "contagion.yaml",
        "contagion.yaml: outbreak odd: unknown step 'moonwalk'",
    ),
    (
        "contagion_unknown_codes",
        "contagion.yaml",
        "contagion.yaml: outbreak odd: unknown finding 'oddities'",
    ),
    (
        "contagion_unknown_codes",
        "contagion.yaml",
        "contagion.yaml: outbreak odd: unknown problem 'lost_marbles'",
    ),
    (
        "contagion_unknown_codes",
        "contagion.yaml",
        "contagion.yaml: outbreak odd: unknown quarantine 'a_while'",
    ),
    (
        "contagion_unknown_codes",
        "contagion.yaml",
        "contagion.yaml: outbreak odd: unknown source 'HEARSAY'",
    ),
    ("contagion_unknown_way", "contagion.yaml", "contagion.yaml.outbreaks.0.passes.0: "),
    (
        "course_upside_down",
        "courses.yaml",
        "courses.yaml: after_dose[AD.backwards]: a question is asked from some hours",
    ),
    (
        "infection_course_faults",
        "infections.yaml",
        "infections.yaml: infections[hatches_backwards].course.hatch: a range runs upwards: 5 to 3",
    ),
    (
        "infection_course_faults",
        "infections.yaml",
        "infections.yaml: infections[looks_backwards].course.looks_after: the days of the looks",
    ),
    (
        "infection_like_nothing",
        "infections.yaml",
        "infections.yaml: infection lookalike: unknown infection 'nothing_known'",
    ),
    (
        "infection_like_nothing",
        "infections.yaml",
        "infections.yaml: infection lookalike: unknown source 'HEARSAY'",
    ),
    (
        "vocabulary_unknown_key",
        "vocabulary-findings.yaml",
        "vocabulary-findings.yaml: findings.wax.colour: unknown key",
    ),
]


def faults_of(folder: Path, override: Path | None = None) -> list[str]:
    with pytest.raises(KnowledgeFaultError) as refused:
        load_knowledge(folder, override)
    return refused.value.faults


@pytest.fixture
def copied(tmp_path: Path) -> Path:
    """The shipped files, where a test may break them."""
    return Path(shutil.copytree(DATA, tmp_path / "knowledge"))


@pytest.mark.parametrize(("file", "lay_at", "fault"), FAULTS)
def test_a_fault_is_named_with_file_and_path(
    copied: Path, file: str, lay_at: str, fault: str
) -> None:
    shutil.copy(BROKEN / f"{file}.yaml", copied / lay_at)
    faults = faults_of(copied)
    assert any(one.startswith(fault) for one in faults), faults


def test_a_file_that_is_not_there_is_named(copied: Path) -> None:
    (copied / "sources.yaml").unlink()
    assert any(one.startswith("sources.yaml: cannot be read") for one in faults_of(copied))


def test_a_vocabulary_file_that_is_not_there_is_told_by_its_section(copied: Path) -> None:
    (copied / "vocabulary-regions.yaml").unlink()
    assert "vocabulary.yaml: regions: is missing" in faults_of(copied)


def test_a_section_that_stands_in_two_files_is_named(copied: Path) -> None:
    shutil.copy(copied / "vocabulary-regions.yaml", copied / "vocabulary-zones.yaml")
    faults = faults_of(copied)
    assert "vocabulary-zones.yaml: regions: stands in another file too" in faults


def test_a_file_that_is_no_text_is_named(copied: Path) -> None:
    (copied / NEW).write_bytes(b"rules: \xff\xfe")
    assert faults_of(copied) == ["broken.yaml: is not text in UTF-8"]


def test_all_faults_are_told_at_once_and_each_once(copied: Path) -> None:
    shutil.copy(BROKEN / "unknown_key.yaml", copied / "findings/one.yaml")
    (copied / "infections.yaml").unlink()
    faults = faults_of(copied)
    assert len(faults) == len(set(faults))
    assert {one.partition(":")[0] for one in faults} == {"findings/one.yaml", "infections.yaml"}


@pytest.mark.parametrize(
    ("file", "fault"),
    [
        ("override_unknown_rule", "replaces[no.such_rule]: there is no rule 'no.such_rule'"),
        ("override_without_why", "replaces[K01]: an override has exactly `id`, `why` and `set`"),
        ("override_with_empty_why", "replaces[K01]: an override has exactly `id`, `why`"),
        ("override_forbidden_field", "replaces[K01].set.when: an override may not set this"),
        ("override_unknown_urgency", "replaces[K01].urgency: unknown urgency 'soonish'"),
        ("override_not_named", "override.by: "),
        ("override_not_dated", "override.on: 'last spring' is no day; write it as 2026-03-01"),
        ("override_by_nobody", "override.by: is missing"),
        ("override_set_to_nothing", "replaces[K01]: `id` is one word, and `set` holds"),
        ("override_wrong_section", "unknown section 'rules'"),
        ("not_yaml", ""),
        ("no_such_file", "cannot be read"),
    ],
)
def test_a_fault_of_an_override_is_named_with_its_file(file: str, fault: str) -> None:
    faults = faults_of(DATA, BROKEN / f"{file}.yaml")
    assert any(one.startswith(f"{file}.yaml: {fault}") for one in faults), faults


def test_every_broken_file_is_tried() -> None:
    tried = {file for file, _, _ in FAULTS}
    left = {path.stem for path in BROKEN.glob("*.yaml")} - tried
    assert all(stem.startswith("override_") for stem in left), left
