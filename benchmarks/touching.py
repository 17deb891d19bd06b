"""The check on the real screen, touched in a browser, its touches counted and reckoned."""

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright
from tests.browser.hands import Table
from tests.browser.house import House, surroundings
from tests.browser.visiting import launch, visit

from benchmarks.keystrokes import PAPER_S, SPREADSHEET_S, Touch, operators, seconds, spelled
from benchmarks.report import Found, Line

ROOT = Path(__file__).parent.parent
# What was found and where, each in another hold: a wet right eye, flaky skin.
FINDINGS = (("eyes", "eye-discharge-R"), ("skin", "skin-flaky-N"))
# Choices that are not foreseen: which tens the scales show, which step, which finding.
THOUGHT_OVER = ("the tens", "step-", "find-")
COUNT = """
addEventListener("pointerdown", (event) => {
  if (event.isTrusted) sessionStorage.touches = Number(sessionStorage.touches ?? 0) + 1;
}, { capture: true });
"""


def touches(folder: Path) -> Found:
    """Both checks, reckoned and set beside paper and a spreadsheet."""
    made = subprocess.run(
        [sys.executable, "-m", "benchmarks.one_animal", str(folder)],
        env=surroundings(folder),
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    known = json.loads(made.stdout)
    house = House(folder)
    house.start()
    try:
        normal = _touched(house, known, all_normal)
        found = _touched(house, known, two_findings)
    finally:
        house.stop()
    lines = [
        *_lines("check, all as it should be, with weight", normal, most_s=12, most=8),
        *_lines("check with two findings and weight", found, most_s=25, most=16),
        Line("the same on paper (design figure)", f"{PAPER_S} s"),
        Line("the same in a spreadsheet row (design figure)", f"{SPREADSHEET_S} s"),
    ]
    notes = [
        "Touches: counted in Chromium from the first hold to Finish, on a page of 390 x 844. Each "
        "is P 1.1 s and K 0.2 s; a thought (M 1.35 s) comes before the weight, before opening a "
        "step for a finding and before choosing the finding. Card, Moran and Newell (1980). "
        "Looking at and feeling the animal is not counted: it is the same with any tool.",
        "All as it should be: " + ", ".join(one.what for one in normal) + ".",
        "Two findings: " + ", ".join(one.what for one in found) + ".",
    ]
    return Found(lines, notes)


def _lines(what: str, touched: list[Touch], *, most_s: int, most: int) -> list[Line]:
    row = operators(touched)
    took = seconds(row)
    reckoned = f"{took:.2f} s ({spelled(row)})"
    return [
        Line(f"{what}: touches", str(len(touched)), f"≤ {most}", len(touched) <= most),
        Line(f"{what}: time", reckoned, f"≤ {most_s} s", took <= most_s),
    ]


def _touched(
    house: House, known: dict[str, Any], check: Callable[[Table, int], None]
) -> list[Touch]:
    cookie = known["cookie"] | {"domain": "127.0.0.1", "path": "/", "expires": -1}
    state = {"cookies": [{**cookie, "httpOnly": True, "secure": False, "sameSite": "Lax"}]}
    with sync_playwright() as playwright:
        browser = launch(playwright)
        with visit(browser, house.address, signed_in=state | {"origins": []}) as phone:
            phone.page.add_init_script(COUNT)
            table = Table(phone.page, house.address).begin(known["animal"])
            check(table, known["last_grams"] + 4)
            phone.page.wait_for_url("**/advice/**")
            counted = int(phone.page.evaluate("sessionStorage.touches"))
        browser.close()
    if counted != len(table.touched):
        msg = f"the page counted {counted} touches, the hand {len(table.touched)}"
        raise AssertionError(msg)
    return [Touch(name, thought=name.startswith(THOUGHT_OVER)) for name in table.touched]


def all_normal(table: Table, grams: int) -> None:
    """Every hold as it should be, and a weight near the last one."""
    while table.screen != "summary":
        _hold(table, grams)
    table.main()


def two_findings(table: Table, grams: int) -> None:
    """The same with two findings."""
    while table.screen != "summary":
        for step, finding in FINDINGS:
            if table.screen == "hold" and table.key(f"step-{step}").count():
                table.find(step, finding)
                table.main()
        _hold(table, grams)
    table.main()


def _hold(table: Table, grams: int) -> None:
    if table.screen == "weigh":
        table.weigh(grams)
    else:
        table.main()
