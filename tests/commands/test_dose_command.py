"""``cavyround dose``: cases from a file, and what is wrong with one."""

import json
from pathlib import Path
from typing import Any

import pytest

from cavyround.commands import dose
from cavyround.commands.main import main
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge

ORDER = """\
drug: ivermectin, dose: 0.4 mg/kg, route: under the skin, every: 10 days, doses: 4,
      vet: Dr A. Vet, ordered: 2026-03-01, why: mites"""
WHOLE = f"""
cases:
  - id: D1
    story: told for people
    now: 2026-03-03T09:00:00Z
    order: {{{ORDER}, strength: 10 mg/mL, diluent: glycol, withdrawal_days: 14,
      limits: {{not_under_g: 300, not_pregnant: yes}}}}
    animal: {{sex: boar, age_months: 20}}
    weights: [{{date: 2026-02-24, g: 790}}, {{date: 2026-03-03, g: 800}}]
    product: {{drug: ivermectin, strength: 1 % w/v, use_within_days: 28}}
    lot: {{expires: 2027-01-31, opened: 2026-02-20, strength: 10 mg/mL}}
    syringes: [ml_1_by_0_01, {{holds_ml: 2.5, mark_ml: 0.1}}]
    running: [meloxicam]
    allergies: [enrofloxacin]
  - id: D2
  - id: D3
    now: 2026-03-03T09:00:00
    order: {{{ORDER}, for_this_animal: no, stopped: 2026-03-02}}
    animal: {{sex: sow, pregnant: possible, gave_birth_days_ago: 3}}
    weights: [{{date: 2026-03-01, g: 800, doubted: yes}}]
    product: {{drug: ivermectin, strength: 1 %, drop: 20 drops}}
    set_aside: [{{key: "pregnant:formulary", by: Dr A. Vet, role: vet, why: meant so}}]
  - id: D4
    now: 2026-03-03T09:00:00Z
    order: {{drug: enilconazole, dose: 100 mL of 0.2 % w/v, route: wash, every: once,
      vet: Dr A. Vet, ordered: 2026-03-01, why: ringworm}}
    product: {{drug: enilconazole, strength: 100 mg/mL}}
    syringes: [{{holds_ml: 2, mark_ml: 0.1}}]
  - id: D5
    now: 2026-03-03T09:00:00Z
    order: {{drug: meloxicam, dose: 0.2 mg/kg, route: by mouth, every: 12 hours, until: 2026-03-09,
      vet: Dr A. Vet, ordered: 2026-03-03, why: pain}}
    animal: {{sex: boar}}
    weights: [{{date: 2026-03-03, g: 900}}]
    last_dose_g: 700
    product: {{drug: meloxicam, strength: 0.5 mg/mL}}
    syringes: [ml_1_by_0_01]
"""


@pytest.fixture(autouse=True)
def read_once(monkeypatch: pytest.MonkeyPatch, book: Knowledge) -> None:
    """The knowledge is read once for all these tests; that it is read is tried elsewhere."""
    monkeypatch.setattr(dose, "load_knowledge", lambda **_: book)


def ran(tmp_path: Path, text: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    file = tmp_path / "own.yaml"
    file.write_text(text)
    code = main(["dose", str(file)])
    out, err = capsys.readouterr()
    return code, out, err


@pytest.fixture
def answers(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    code, out, err = ran(tmp_path, WHOLE, capsys)
    assert (code, err) == (0, "")
    return {one["id"]: one for one in json.loads(out)}


def test_a_dose_is_printed_with_all_it_rests_on(answers: dict[str, Any]) -> None:
    one = answers["D1"]
    assert one["result"] == "dose"
    assert one["weight"] == "800 g, weighed just now, gaining 1.3 % a week"
    assert (one["amount"], one["volume_ml"]) == ("0.32 mg", "0.032")
    assert one["measure"] == {
        "words": "draw up to 0.32 mL in the 1 mL syringe with marks of 0.01 mL",
        "to": "0.32 mL",
        "syringe": "ml_1_by_0_01",
        "rounded": "exact",
        "error_pct": 0.0,
    }
    assert one["dilution"]["strength"] == "1 mg/mL"
    assert one["dilution"]["with"] == "glycol"
    assert one["published"]["verdict"] == "inside"
    assert {row["sure"] for row in one["published"]["ranges"]} == {"seen", "memory"}
    assert one["withdrawal"] == "Not adopted until 14 days after the last dose."
    assert one["now"] == "2026-03-03T09:00:00+00:00"


def test_a_refusal_is_printed_with_all_its_reasons(answers: dict[str, Any]) -> None:
    one = answers["D3"]
    assert one["result"] == "refusal"
    keys = [reason["key"] for reason in one["reasons"]]
    assert keys == sorted(keys)
    assert set(keys) == {
        "not_for_this_animal",
        "order_over",
        "unknown_unit:drop_size",
        "unknown_unit:label",
        "weight_doubtful",
    }
    assert {reason["may_override"] for reason in one["reasons"]} == {"nobody"}
    assert all(reason["words"] and reason["do"] for reason in one["reasons"])
    assert [one["by"] for one in one["set_aside"]] == ["Dr A. Vet"]
    assert [reason["code"] for reason in answers["D2"]["reasons"]] == ["no_order"]


def test_a_wash_is_made_up(answers: dict[str, Any]) -> None:
    one = answers["D4"]
    assert one["weight"] is None
    assert one["measure"]["to"] == "2 mL"
    assert one["dilution"]["steps"][-1].startswith("Add 98 mL of water")


def test_hours_an_end_and_the_last_doses_weight_are_heard(answers: dict[str, Any]) -> None:
    one = answers["D5"]
    assert one["second_person"] == [
        "its weight has changed by 29 % since the last dose",
        "the order names no strength",
        "outside what is published",
    ]
    assert {row["often"] for row in one["published"]["ranges"]} == {
        "published as a single dose only",
        "more often than published",
    }


def test_without_a_time_it_is_the_clocks(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    case = f"cases: [{{id: D1, order: {{{ORDER}}}, weights: [{{date: 2020-01-01, g: 800}}]}}]"
    _, out, _ = ran(tmp_path, case, capsys)
    [one] = json.loads(out)
    assert "weight_too_old" in [reason["code"] for reason in one["reasons"]]


def test_the_help_holds_a_file_that_works(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    example = dose.HELP[dose.HELP.index("  cases:") : dose.HELP.index("Other keys")]
    code, out, err = ran(tmp_path, example, capsys)
    assert (code, err) == (0, "")
    [one] = json.loads(out)
    assert one["result"] == "dose"


def case(part: str) -> str:
    return f"cases:\n  - id: D1\n    {part}\n"


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("cases: [", "own.yaml: "),
        ("- D1\n", "own.yaml: the file must hold named sections"),
        ("kases: []\n", "own.yaml: the file must hold `cases`, a list"),
        ("cases: D1\n", "own.yaml: the file must hold `cases`, a list"),
        ("cases: [D1]\n", "own.yaml: cases[0]"),
        ("cases: [{story: x}]\n", "own.yaml: cases[0].id: "),
        ("cases: [{id: D1}, {id: D1}]\n", "own.yaml: cases[D1]: the id is given twice"),
        (case("colour: red"), "own.yaml: cases[D1].colour: "),
        (case("id: D2"), "own.yaml: the key 'id' is given twice"),
        (case("now: soon"), "own.yaml: cases[D1].now: "),
        (case("order: {every: often}"), "own.yaml: cases[D1].order.every: "),
        (case("order: {every: 0 days}"), "own.yaml: cases[D1]: the time between doses"),
        (case("order: {every: 9999 days}"), "own.yaml: cases[D1].order.every"),
        (case("order: {doses: none}"), "own.yaml: cases[D1].order.doses: "),
        (case("order: {doses: 3, until: 2026-03-09}"), "own.yaml: cases[D1].order: "),
        (case("order: {ordered: 3 March}"), "own.yaml: cases[D1].order.ordered: "),
        (case("order: {limits: {not_under_g: light}}"), "cases[D1].order.limits.not_under_g: "),
        (
            case("order: {limits: {not_under_g: 900, not_over_g: 300}}"),
            "own.yaml: cases[D1]: no animal is both",
        ),
        (case("animal: {sex: femal}"), "own.yaml: cases[D1].animal.sex: "),
        (case("animal: {age_months: old}"), "own.yaml: cases[D1].animal.age_months: "),
        (case("weights: [{date: 2026-03-03, g: 0}]"), "own.yaml: cases[D1].weights.0.g: "),
        (case("weights: [{date: 2026-03-03, g: NaN}]"), "own.yaml: cases[D1].weights.0.g: "),
        (case("product: {strength: 1 % w/v}"), "own.yaml: cases[D1].product.drug: "),
        (case("product: {drug: x, g_per_ml: 0}"), "own.yaml: cases[D1].product.g_per_ml: "),
        (case("syringes: [bucket]"), "own.yaml: cases[D1].syringes: unknown syringe 'bucket'"),
        (case("syringes: [{holds_ml: 1}]"), "own.yaml: cases[D1].syringes.0."),
        (case("set_aside: [{key: x, by: y, role: cat}]"), "own.yaml: cases[D1].set_aside.0.role: "),
    ],
)
def test_a_bad_file_is_told_with_file_and_path(
    tmp_path: Path, text: str, fault: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = ran(tmp_path, text, capsys)
    assert (code, out) == (2, "")
    assert fault in err
    assert "Traceback" not in err


def test_a_file_that_is_not_there_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["dose", "no-such-file.yaml"]) == 2
    assert "no-such-file.yaml" in capsys.readouterr().err


def test_a_vets_own_file_that_is_broken_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(dose, "load_knowledge", load_knowledge)
    (tmp_path / "own.yaml").write_text("cases: []")
    (tmp_path / "vet.yaml").write_text("override: {}")
    arguments = ["dose", str(tmp_path / "own.yaml"), "--override", str(tmp_path / "vet.yaml")]
    assert main(arguments) == 2
    assert "vet.yaml: override.by: is missing" in capsys.readouterr().err
