"""A rule is said once, with all it concerns, and nothing that was said of a pair is lost."""

from cavyround.engines.housing import Why
from cavyround.web.house.rules_said import once_per_rule, said_of


def why(rule: str, detail: str, *animals: str, hard: bool = True) -> Why:
    return Why(
        rule=rule, hard=hard, words=rule, detail=detail, frees="", sources=("CP",), animals=animals
    )


def test_one_boar_among_three_sows_is_said_once() -> None:
    whys = [why("sexes", f"Told: may be entire; {sow}: sow", "Told", sow) for sow in "ABC"]
    (said,) = once_per_rule(whys)
    assert said.detail == "Told: may be entire; A: sow; B: sow; C: sow"
    assert said.animals == ("Told", "A", "B", "C")


def test_two_quarrels_stay_two_and_hard_rules_come_first() -> None:
    whys = [
        why("quarrelled", "A and B fought: chased; bled", "A", "B", hard=False),
        why("quarrelled", "C and D fought: chased; bled", "C", "D", hard=False),
        why("sexes", "A: boar; C: sow", "A", "C"),
    ]
    first, second = once_per_rule(whys)
    assert first.rule == "sexes"
    assert second.detail == "A and B fought: chased; bled; C and D fought: chased; bled"


def test_of_one_animal_its_own_part_is_said_once_and_each_other_by_name() -> None:
    found = [
        ("A", why("sexes", "Moss: entire boar; A: sow", "Moss", "A")),
        ("B", why("sexes", "Moss: entire boar; B: sow, told", "Moss", "B")),
        ("B", why("size", "B 300 g, Moss 900 g", "Moss", "B", hard=False)),
    ]
    sexes, size = said_of("Moss", found)
    assert sexes.own == "Moss: entire boar"
    assert sexes.others == (("A", "sow"), ("B", "sow, told"))
    assert size.others == (("B", "300 g, Moss 900 g"),)
