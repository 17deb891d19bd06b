"""A browser as a carer holds it: a phone or a desk, with every fault in the page written down."""

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Literal

from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Playwright

Device = Literal["phone", "desk"]
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP pigs.test 127.0.0.1",
)
DEVICES: dict[Device, dict[str, Any]] = {
    "phone": {
        "viewport": {"width": 390, "height": 844},
        "has_touch": True,
        "is_mobile": True,
        "device_scale_factor": 2,
    },
    "desk": {"viewport": {"width": 1280, "height": 900}},
}
# A broken connection and a refused form are what some tests are about; the browser writes them
# down as errors of its own.
NO_CONNECTION = r"net::ERR_(INTERNET_DISCONNECTED|CONNECTION_\w+|EMPTY_RESPONSE|FAILED|ABORTED)"


def refused_with(status: int) -> str:
    """What the browser writes down when the server answers with this status."""
    return rf"the server responded with a status of {status}\b"


def launch(playwright: Playwright) -> Browser:
    """Debian's Chromium, headless."""
    path = shutil.which("chromium")
    if path is None:
        msg = "There is no chromium; tests/browser/install-chromium says what to do."
        raise FileNotFoundError(msg)
    return playwright.chromium.launch(executable_path=path, args=list(ARGUMENTS))


class Visit:
    """One device with its storage; its pages come and go."""

    def __init__(self, context: BrowserContext, address: str) -> None:
        self.context = context
        self.address = address
        self.faults: list[str] = []
        self.expected: list[str] = []
        context.set_default_timeout(10_000)
        context.on("page", self._watch)
        self.page = context.new_page()

    def _watch(self, page: Page) -> None:
        page.on("pageerror", lambda fault: self.faults.append(f"{page.url}: {fault}"))
        page.on("console", self._said)

    def _said(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.faults.append(f"{message.location.get('url')}: {message.text}")

    def expect(self, *patterns: str) -> None:
        """Faults like these belong to the test."""
        self.expected += patterns

    def unexpected(self) -> list[str]:
        """The faults nobody expected."""
        return [
            fault
            for fault in self.faults
            if not any(re.search(pattern, fault) for pattern in self.expected)
        ]

    def go(self, path: str) -> Page:
        """Open an address of the house."""
        self.page.goto(self.address + path)
        return self.page

    def close_tab(self) -> None:
        """The tab is closed; what it stored stays, and a new one is open."""
        closed, self.page = self.page, self.context.new_page()
        closed.close()


@contextmanager
def visit(
    browser: Browser,
    address: str,
    *,
    device: Device = "phone",
    signed_in: Any = None,
    dark: bool = False,
    worker: bool = True,
) -> Iterator[Visit]:
    """A device at this address; at the end no fault may have been written down."""
    context = browser.new_context(
        **DEVICES[device],
        storage_state=signed_in,
        color_scheme="dark" if dark else "light",
        service_workers="allow" if worker else "block",
        locale="en-GB",
        timezone_id="Europe/London",
    )
    one = Visit(context, address)
    try:
        yield one
    finally:
        # What a page says of being torn away while it loads is no fault of the page.
        faults = one.unexpected()
        context.close()
    assert not faults, "the page wrote down: " + "; ".join(faults)
