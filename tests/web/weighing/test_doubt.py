"""What is doubted before it is kept: the engine and the phone say the same, case for case."""

import random
from typing import Any

import pytest

from tests.web.client import say
from tests.web.weighing.doubting import ASK_THE_PHONE, Case, as_said, asked, cases, engine_says

PHONE = f"const {{ doubtOf }} = await use('../weighing/doubt'); return {ASK_THE_PHONE};"


@pytest.mark.parametrize("case", cases(), ids=lambda case: case.says)
def test_a_weight_is_doubted_for_its_reason(case: Case) -> None:
    doubt = engine_says(case)
    if doubt is None:
        assert case.reason is None
        return
    meant = None if doubt.meant_g is None else str(doubt.meant_g)
    assert (doubt.reason, meant, doubt.fits) == (case.reason, case.meant_g, case.fits)


def test_the_phone_says_of_every_case_what_the_engine_says() -> None:
    told = say(PHONE, asked=[asked(case) for case in cases()])
    assert told == [as_said(engine_says(case)) for case in cases()]


def any_case(chance: random.Random) -> Case:
    """An animal of any weight among mates of any weight, and a number near or far from it."""
    mates = {name: any_bands(chance) for name in chance.sample("abcdef", chance.randrange(4))}
    own = any_bands(chance)
    near = chance.choice([own, *mates.values()])
    typed = [
        f"{chance.gauss(near['likely'][1], near['likely'][1] / 6):.1f}",
        str(chance.randrange(20, 4000)),
        f"{near['likely'][1] / 28.35:.1f}",
        str(round(near["likely"][1]) + chance.choice([-100, 100, 9, -9, 90, -90])),
    ]
    grams = chance.choice([one for one in typed if float(one) >= 1] or ["20"])
    return Case("any", grams, own, mates, None, None, "")


def any_bands(chance: random.Random) -> dict[str, Any]:
    mid = chance.choice([chance.uniform(60, 1600), float(chance.randrange(60, 1600)) + 0.5])
    likely, plausible = chance.uniform(0.02, 0.1), chance.uniform(0.1, 0.4)
    return {
        "likely": [mid * (1 - likely), mid, mid * (1 + likely)],
        "plausible": [mid * (1 - plausible), mid, mid * (1 + plausible)],
        "known": chance.random() > 0.2,
    }


def test_the_phone_and_the_engine_agree_on_weights_nobody_thought_of() -> None:
    chance = random.Random(20260304)  # noqa: S311 no secret, the same cases every time
    reasons = set()
    for _ in range(10):
        several = [any_case(chance) for _ in range(120)]
        engine = [as_said(engine_says(case)) for case in several]
        told = say(PHONE, asked=[asked(case) for case in several])
        answers = zip(several, engine, told, strict=True)
        assert [answer for answer in answers if answer[1] != answer[2]] == []
        reasons |= {one["reason"] if one else "" for one in engine}
    assert len(reasons) == 9
