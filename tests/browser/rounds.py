"""The dose round as a thumb uses it: every touch is a touch of what is on the screen."""

import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.house import House, bare, surroundings

SLOWLY = 60_000


def seeded(herd: Path, folder: Path) -> dict[str, Any]:
    """A copy of the herd with orders that are due today, and who gets what."""
    shutil.copytree(herd, folder)
    made = subprocess.run(
        [sys.executable, "-m", "tests.browser.seeding_doses", str(folder)],
        env=surroundings(folder),
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode == 0, made.stderr
    told: dict[str, Any] = json.loads(made.stdout)
    return told


class Doses:
    """The dose round on one page."""

    def __init__(self, page: Page, address: str, *, touch: bool = True) -> None:
        self.page = page
        self.address = address
        self._touch = touch
        self.touches = 0

    def open(self) -> "Doses":
        """Open the round; the day's doses are loaded."""
        self.page.goto(f"{self.address}/dose-round/")
        self.ready()
        return self

    def ready(self) -> None:
        """A screen is shown."""
        self.page.locator("#dose-round h1").wait_for()
        expect(self.page.locator("#dose-round [data-key=unsent]")).to_be_visible()

    def key(self, key: str) -> Locator:
        """What carries this key."""
        return self.page.locator(f'#dose-round [data-key="{key}"]')

    def part(self, name: str) -> Locator:
        """A part of the screen."""
        return self.page.locator(f'#dose-round [data-part="{name}"]')

    def touch(self, key: str) -> None:
        """Touch what carries this key, by finger on a phone and by mouse at a desk."""
        target = self.key(key)
        if self._touch:
            target.tap()
        else:
            target.click()
        self.touches += 1

    @property
    def screen(self) -> str:
        """The screen that is shown."""
        return str(self.page.evaluate("history.state.screen.name"))

    @property
    def name(self) -> str:
        """Who is on the table."""
        return self.page.locator("#dose-round h1").inner_text()

    def of(self, animal: str) -> dict[str, Any]:
        """The dose of an animal, as the server says it now."""
        told = self.told()
        (one,) = [one for one in told["doses"] if one["animal"] == animal]
        found: dict[str, Any] = one
        return found

    def ask(self, animal: str) -> None:
        """From the list to the question that is open about an animal."""
        (one,) = [
            one
            for one in self.told()["questions"]
            if one["animal"] == animal and one["asking"] == "to_ask"
        ]
        self.touch("asking")
        while self.page.evaluate("history.state.screen.question") != one["key"]:
            before = self.page.evaluate("history.state.screen.question")
            self.touch("skip")
            self.page.wait_for_function(
                "(before) => history.state.screen.question !== before", arg=before
            )
        self.page.locator("#dose-round .on-table").wait_for()

    def told(self) -> dict[str, Any]:
        """The round as the server says it now."""
        found: dict[str, Any] = self.page.evaluate(
            "fetch('/dose-round/round.json').then((answer) => answer.json())"
        )
        return found

    def enter(self, dose: dict[str, Any]) -> None:
        """From the list to one dose."""
        self.touch(f"dose-{dose['key']}")
        self.page.locator("#dose-round .on-table").wait_for()

    def hand_over(self) -> None:
        """Give the phone to the second person, who touches their name.

        A touch while a newer list is being drawn does not count: then it is touched again.
        """
        self.part("unseen").wait_for()
        self.page.wait_for_function("!document.querySelector('#dose-round').dataset.resting")
        self.touch("second")
        if self.screen == "dose":
            self.touch("second")
        self.page.locator('#dose-round [data-key^="person-"]').first.tap()
        expect(self.key("compare")).to_be_visible()

    def type(self, amount: str) -> None:
        """What a second person gets, on the pad; then it is compared."""
        for sign in amount:
            self.touch(f"pad-{sign}")
        self.touch("compare")

    def give(self) -> None:
        """Drawn up and given, with the big button; the next comes by itself."""
        before = self.page.evaluate("history.state.screen.key")
        self.touch("drawn-up")
        self.touch("given")
        self.page.wait_for_function("(key) => history.state.screen.key !== key", arg=before)

    def to_list(self) -> None:
        """Back to the list."""
        self.touch("list")
        expect(self.key("list")).to_have_count(0)

    @property
    def unsent(self) -> int:
        """The number on the screen of what was not sent."""
        return int(self.key("unsent").get_attribute("data-unsent") or "0")

    def all_sent(self) -> None:
        """Everything has left the phone."""
        expect(self.key("unsent")).to_have_attribute("data-unsent", "0", timeout=SLOWLY)


def kept(house: House, animal: str) -> list[dict[str, Any]]:
    """The dose entries of an animal that stand, in the order of time."""
    return house.rows(
        "SELECT d.* FROM record_doseentry d JOIN record_course c ON c.id = d.course_id "
        "WHERE c.animal_id = ? AND d.id NOT IN (SELECT corrects_id FROM record_dosecorrection) "
        "ORDER BY d.at, d.id",
        [bare(animal)],
    )


def outcomes(house: House, animal: str) -> list[str]:
    """What became of each, in the order of time."""
    return [str(one["outcome"]) for one in kept(house, animal)]
