"""Every kind of fault a file about medicines can have is named with its file and its path."""

import shutil
from pathlib import Path

import pytest

from cavyround.knowledge.loading import DATA, load_knowledge
from cavyround.knowledge.reading import KnowledgeFaultError

BROKEN = Path(__file__).parent / "broken_medicines"
NEW = "medicines/broken.yaml"
ENTRY = f"{NEW}: formulary[broken]"
LATE = f"{NEW}: medicine broken"

# A formulary file beside the shipped ones, and the fault that must be named.
OF_THE_FORMULARY = [
    ("unknown_key", f"{ENTRY}.colour: unknown key"),
    ("unknown_unit", f"{ENTRY}.doses.0.unit: "),
    ("unknown_sureness", f"{ENTRY}.doses.0.sure: "),
    ("unknown_route", f"{LATE}: unknown route 'by_wing'"),
    ("unknown_route_of_dose", f"{LATE}: unknown route 'by_wing'"),
    ("unknown_class", f"{LATE}: unknown class 'potion'"),
    ("unknown_source", f"{LATE}: unknown source 'HEARSAY'"),
    ("unknown_source_of_dose", f"{LATE}: unknown source 'HEARSAY'"),
    ("unknown_source_of_stop", f"{LATE}: unknown source 'HEARSAY'"),
    ("missing_source", f"{ENTRY}.sources: is missing"),
    ("missing_source_of_dose", f"{ENTRY}.doses.0.sources: is missing"),
    ("no_source_of_dose", f"{ENTRY}.doses.0.sources: "),
    ("range_upside_down", f"{ENTRY}.doses.0: a range runs upwards: 3 to 2"),
    ("hours_upside_down", f"{ENTRY}.doses.0: a range runs upwards: 24 to 12 hours"),
    ("nothing_at_all", f"{ENTRY}.doses.0.low: "),
    ("no_number", f"{ENTRY}.doses.0.low: "),
    ("seen_by_no_route", f"{ENTRY}.doses.0: a dose whose route nobody states is not `seen`"),
    ("limit_without_value", f"{ENTRY}.limits.0: `value` goes with below_days and below_g"),
    ("limit_with_value_too_many", f"{ENTRY}.limits.0: `value` goes with below_days and below_g"),
    ("unknown_limit", f"{ENTRY}.limits.0.when: "),
    ("who_may", f"{ENTRY}.limits.0.may: "),
    ("key_twice", "broken.yaml: the key 'sources' is given twice (line 9)"),
    (
        "id_twice",
        "medicines/broken.yaml and medicines/parasites.yaml: medicine ivermectin: is there twice",
    ),
    (
        "name_twice",
        "medicines/parasites.yaml: medicine ivermectin: the name 'ivermectin' is also broken's",
    ),
    (
        "name_twice",
        "medicines/pain.yaml: medicine meloxicam: the name 'meloxicam' is also broken's",
    ),
]
# An entry laid at the end of a shipped file, and the fault that must be named.
OF_OTHER_FILES = [
    ("danger_unknown_route", "dangers", "danger broken: unknown route 'by_wing'"),
    ("danger_unknown_class", "dangers", "danger broken: unknown class 'potion'"),
    ("danger_that_is_only_said", "dangers", "dangers[broken].may: "),
    ("danger_without_source", "dangers", "dangers[broken].sources: is missing"),
    ("danger_twice", "dangers", "danger penicillins: is there twice"),
    ("class_not_with_unknown", "classes", "class broken: unknown class 'potion'"),
    ("route_name_twice", "routes", "route broken: 'PO' is also by_mouth's"),
    ("route_limit_unknown_source", "routes", "route broken: unknown source 'HEARSAY'"),
    ("syringe_marks_do_not_end", "syringes", "syringes.broken: marks of 0.3 mL do not end at 1"),
    ("syringe_only_for_unknown", "syringes", "syringe broken: unknown class 'potion'"),
    ("trap_unknown_medicine", "traps", "trap broken: unknown medicine 'potion'"),
    ("trap_misprint_of_nothing", "traps", "traps[broken]: a misprint names its `medicine`"),
    ("abbreviation_that_finds_nothing", "writing", "abbreviations[x].pattern: cannot be searched"),
    ("abbreviation_unknown_source", "writing", "abbreviation xyz: unknown source 'HEARSAY'"),
]


@pytest.fixture
def copied(tmp_path: Path) -> Path:
    """The shipped files, where a test may break them."""
    return Path(shutil.copytree(DATA, tmp_path / "knowledge"))


def faults_of(folder: Path) -> list[str]:
    with pytest.raises(KnowledgeFaultError) as refused:
        load_knowledge(folder)
    return refused.value.faults


@pytest.mark.parametrize(("file", "fault"), OF_THE_FORMULARY)
def test_a_fault_of_the_formulary_is_named_with_file_and_path(
    copied: Path, file: str, fault: str
) -> None:
    shutil.copy(BROKEN / f"{file}.yaml", copied / NEW)
    faults = faults_of(copied)
    assert any(one.startswith(fault) for one in faults), faults


@pytest.mark.parametrize(("file", "laid_on", "fault"), OF_OTHER_FILES)
def test_a_fault_of_the_other_files_is_named_with_file_and_path(
    copied: Path, file: str, laid_on: str, fault: str
) -> None:
    name = f"medicines/{laid_on}.yaml"
    with (copied / name).open("a", encoding="utf-8") as shipped:
        shipped.write((BROKEN / f"{file}.yaml").read_text(encoding="utf-8"))
    faults = faults_of(copied)
    assert any(one.startswith(f"{name}: {fault}") for one in faults), faults


def test_a_file_about_medicines_that_is_not_there_is_named(copied: Path) -> None:
    (copied / "medicines" / "dangers.yaml").unlink()
    assert any(one.startswith("dangers.yaml: cannot be read") for one in faults_of(copied))


def test_every_broken_file_is_tried() -> None:
    tried = {file for file, _ in OF_THE_FORMULARY} | {file for file, _, _ in OF_OTHER_FILES}
    assert {path.stem for path in BROKEN.glob("*.yaml")} == tried
