"""The check screen as a thumb uses it: every touch is a touch of what is on the screen."""

from typing import Any
from urllib.parse import urlencode

from playwright.sync_api import Locator, Page, expect


class Table:
    """A check at the table, on one page."""

    def __init__(self, page: Page, address: str, *, touch: bool = True) -> None:
        self.page = page
        self.address = address
        self._touch = touch
        self.touched: list[str] = []

    def begin(self, animal: str, kind: str = "full") -> "Table":
        """Open the check of an animal, as the links of other pages do."""
        asked = urlencode({"animal": animal, "kind": kind})
        self.page.goto(f"{self.address}/check?{asked}")
        self.ready()
        return self

    def ready(self) -> None:
        """The round is loaded and a screen is shown."""
        self.page.locator("#check h1").wait_for()

    def key(self, key: str) -> Locator:
        """What carries this key."""
        return self.page.locator(f'#check [data-key="{key}"]')

    def touch(self, key: str) -> None:
        """Touch what carries this key."""
        self.hit(self.key(key), key)

    def hit(self, target: Locator, name: str = "") -> None:
        """Touch it: by finger on a phone, by mouse at a desk."""
        if self._touch:
            target.tap()
        else:
            target.click()
        self.touched.append(name or target.inner_text())

    @property
    def screen(self) -> str:
        """The screen that is shown."""
        return str(self.page.evaluate("history.state.screen.name"))

    @property
    def hold(self) -> str:
        """The hold that is shown."""
        return str(self.page.evaluate("history.state.screen.hold ?? ''"))

    @property
    def title(self) -> str:
        """The heading of the screen."""
        return self.page.locator("#check h1").inner_text()

    @property
    def check(self) -> str:
        """The id of the check."""
        return str(self.page.evaluate("history.state.check"))

    def main(self) -> None:
        """The thumb's big button; the screen it leads to is waited for."""
        before = self.title
        button = self.key("main")
        self.hit(button, button.inner_text().splitlines()[0])
        expect(self.page.locator("#check h1")).not_to_have_text(before)

    def same(self) -> None:
        """What is known of the hold from before is the same."""
        while (owing := self.page.locator('.known[data-said=""] [data-key$="-same"]')).count():
            left = owing.count()
            self.hit(owing.first, "same")
            expect(owing).to_have_count(left - 1)

    def as_it_should_be(self) -> None:
        """One hold: what is known is the same, and the rest is as it should be."""
        self.same()
        self.main()

    def weigh(self, grams: int) -> None:
        """The weight by tens and last digit, or on the pad where there is no last weight."""
        tens = self.key(f"ten-{grams // 10 * 10}")
        if tens.count():
            self.hit(tens, "the tens")
            self.hit(self.key(f"digit-{grams % 10}"), "the last digit")
        else:
            if self.key("pad").count():
                self.touch("pad")
            self.pad(str(grams))
            self.touch("keep")
        if self.key("doubt-keep").count():
            self.touch("doubt-keep")
        expect(self.page.locator("#check h1")).not_to_have_text("Weight")

    def pad(self, signs: str) -> None:
        """Touch signs on the pad."""
        for sign in signs:
            self.touch(f"pad-{sign}")

    def last_weight(self) -> int:
        """A weight near the last one, or a usual one where there is none."""
        last = self.page.locator(".last-weight strong")
        return int(last.inner_text().split()[0].replace(",", "")) if last.count() else 900

    def find(self, step: str, finding: str) -> None:
        """On a hold: open the step, touch a finding (region-finding-side), go back."""
        self.touch(f"step-{step}")
        self.touch(f"find-{finding}")
        expect(self.key(f"find-{finding}")).to_have_attribute("aria-pressed", "true")

    def to_summary(self) -> None:
        """Go on, all as it should be, up to the summary."""
        while self.screen != "summary":
            if self.screen == "weigh":
                self.weigh(self.last_weight())
            else:
                self.as_it_should_be()

    def to_hold(self, code: str) -> None:
        """Go on, all as it should be, up to this hold."""
        while self.hold != code:
            if self.screen == "weigh":
                self.weigh(self.last_weight())
            else:
                self.as_it_should_be()

    def weigh_or_main(self, animal: dict[str, Any]) -> None:
        """One hold on, whichever it is."""
        if self.screen == "weigh":
            self.weigh(round(animal["last_weight"]["grams"]))
        else:
            self.main()

    def finish(self) -> None:
        """The last touch; waits for the advice."""
        self.touch("main")
        self.page.wait_for_url("**/advice/**")

    @property
    def unsent(self) -> int:
        """The number on the screen of what was not sent."""
        return int(self.key("unsent").get_attribute("data-unsent") or "0")

    def all_sent(self) -> None:
        """Everything has left the phone."""
        expect(self.key("unsent")).to_have_attribute("data-unsent", "0", timeout=60_000)


def animals(page: Page, address: str) -> list[dict[str, Any]]:
    """The animals of the round with their plans, as the server says."""
    answer = page.request.get(f"{address}/check/round.json")
    found: list[dict[str, Any]] = answer.json()["animals"]
    return found


def plain(page: Page, address: str) -> dict[str, Any]:
    """A resident due for a whole check, with a last weight, nothing carried or left out."""
    return plain_among(animals(page, address))


def plain_among(round_of_today: list[dict[str, Any]], *, but: str = "") -> dict[str, Any]:
    """The first such animal of a round; ``but`` is one that is not wanted."""
    for animal in round_of_today:
        holds = animal["plan"]["holds"]
        steps = [step for hold in holds for step in hold["steps"]]
        if (
            animal["due"]
            and animal["kind"] == "full"
            and animal["id"] != but
            and animal["group"] == "residents"
            and animal["last_weight"]
            and not any("carried" in step or "left_out" in step for step in steps)
            and not any(hold["not_now"] for hold in holds)
        ):
            return animal
    msg = "the demo herd has no resident that is due and has nothing special to it"
    raise LookupError(msg)


def planned(animal: dict[str, Any]) -> set[str]:
    """The codes of the steps of an animal's plan."""
    return {step["code"] for hold in animal["plan"]["holds"] for step in hold["steps"]}
