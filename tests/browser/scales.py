"""The weigh-in as a thumb uses it: a pen, one animal after another, two touches to a weight."""

from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.house import House
from tests.browser.visiting import Visit


class Scales:
    """The weigh-in of a pen, on one page."""

    def __init__(self, page: Page, address: str, *, touch: bool = True) -> None:
        self.page = page
        self.address = address
        self._touch = touch
        self.touches = 0

    def open(self) -> "Scales":
        """Open the weigh-in; the pens are loaded."""
        self.page.goto(f"{self.address}/weigh-in/")
        self.ready()
        return self

    def ready(self) -> None:
        """A screen is shown."""
        self.page.locator("#weigh-in h1").wait_for()

    def enter(self, pen: dict[str, Any]) -> "Scales":
        """Choose a pen."""
        self.touch(f"pen-{pen['id']}")
        self.page.locator("#weigh-in .on-scales").wait_for()
        return self

    def key(self, key: str) -> Locator:
        """What carries this key."""
        return self.page.locator(f'#weigh-in [data-key="{key}"]')

    def touch(self, key: str) -> None:
        """Touch what carries this key, by finger on a phone and by mouse at a desk."""
        target = self.key(key)
        if self._touch:
            target.tap()
        else:
            target.click()
        self.touches += 1

    @property
    def name(self) -> str:
        """Who is on the scales."""
        return self.page.locator("#weigh-in h1").inner_text()

    @property
    def screen(self) -> str:
        """The screen that is shown."""
        return str(self.page.evaluate("history.state.screen.name"))

    @property
    def progress(self) -> str:
        """How many of the pen are done."""
        return self.page.locator("[data-part=progress]").inner_text()

    def digits(self, grams: int) -> None:
        """The tens, then the last digit."""
        self.touch(f"ten-{grams // 10 * 10}")
        self.touch(f"digit-{grams % 10}")

    def weigh(self, grams: int) -> None:
        """A weight in two touches; the next animal comes by itself."""
        before = self.name
        self.digits(grams)
        expect(self.page.locator("#weigh-in h1")).not_to_have_text(before)

    def pad(self, grams: int | str) -> None:
        """A weight on the pad, whatever it is."""
        if not self.key("keep").count():
            self.touch("pad")
        for sign in str(grams):
            self.touch(f"pad-{sign}")
        self.touch("keep")

    def doubted(self) -> Locator:
        """What is asked about a weight that can hardly be."""
        card = self.page.locator(".doubt")
        card.wait_for()
        return card

    def all_sent(self) -> None:
        """Everything has left the phone."""
        expect(self.key("unsent")).to_have_attribute("data-unsent", "0", timeout=60_000)

    def all_judged(self) -> None:
        """What every weight of the pen says has come."""
        expect(self.page.locator("[data-part=judging]")).to_have_count(0, timeout=60_000)
        expect(self.page.locator('[data-judged="no"]')).to_have_count(0)


def herd(page: Page, address: str) -> dict[str, Any]:
    """The pens and their animals, as the server says."""
    told: dict[str, Any] = page.request.get(f"{address}/weigh-in/pens.json").json()
    return told


def a_pen(page: Page, address: str, least: int = 3) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """A pen whose animals all have been weighed before, and these in the order they come."""
    told = herd(page, address)
    for pen in told["pens"]:
        animals = [one for one in told["animals"] if one["pen_id"] == pen["id"]]
        known = all(one["expected"]["known"] and likely(one) > 300 for one in animals)
        if known and len(animals) >= least:
            return pen, sorted(animals, key=lambda one: not one["weigh"]["due"])
    msg = "the demo herd has no pen of animals that were all weighed before"
    raise LookupError(msg)


def likely(animal: dict[str, Any]) -> int:
    """What an animal is most likely to weigh now."""
    mid: float = animal["expected"]["likely"]["mid"]
    return round(mid)


def kept(house: House, animal: dict[str, Any]) -> list[tuple[str, str | None, bool]]:
    """The weigh-in entries of an animal: kind, grams, whether doubted."""
    weigh_ins = {
        row["id"] for row in house.rows("SELECT id FROM record_check WHERE kind = 'weigh_in'")
    }
    return [
        (one["kind"], one["data"].get("grams"), one["data"].get("doubted", False))
        for one in house.entries(animal["id"])
        if one["check_in_id"] in weigh_ins
    ]


def begun(visit: Visit, house: House, *, touch: bool = True) -> tuple[Scales, list[dict[str, Any]]]:
    """A weigh-in of a pen, and its animals in the order they come."""
    pen, animals = a_pen(visit.page, house.address)
    return Scales(visit.page, house.address, touch=touch).open().enter(pen), animals
