"""The house, the herd and the browser that the tests here share."""

import os
import shutil
import subprocess
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, sync_playwright

from tests.browser.house import COMMAND, House, surroundings
from tests.browser.rounds import seeded
from tests.browser.visiting import Device, Visit, launch, visit

HERE = Path(__file__).parent
ROLES = ("carer", "lead", "vet", "viewer")  # the demo herd's accounts are named so
SignedIn = dict[str, Any]
Visiting = Callable[..., Visit]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Whatever lies in this folder drives a browser."""
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One Chromium for all tests; each has its own storage in it."""
    # Playwright keeps an event loop running in this thread, and Django would take every later
    # query of the other tests for one made inside it.
    before = os.environ.get("DJANGO_ALLOW_ASYNC_UNSAFE")
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with sync_playwright() as playwright:
        one = launch(playwright)
        yield one
        one.close()
    if before is None:
        del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture(scope="session")
def herd(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo herd, made once; nobody writes to it.

    Making it takes a minute; CAVYROUND_HERD may name one made before, which is copied.
    """
    folder = tmp_path_factory.mktemp("herd") / "data"
    if made_before := os.environ.get("CAVYROUND_HERD"):
        shutil.copytree(made_before, folder)
        return folder
    made = subprocess.run(
        [*COMMAND, "demo", "--data", str(folder)],
        env=surroundings(folder),
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode == 0, made.stderr
    return folder


@pytest.fixture(scope="session")
def signed_in(browser: Browser, herd: Path) -> dict[str, SignedIn]:
    """A signed-in browser's storage for each role; every copy of the herd knows these sign-ins."""
    with being_served(House(herd)) as house:
        return {role: _sign_in(browser, house, role) for role in ROLES}


def _sign_in(browser: Browser, house: House, name: str) -> SignedIn:
    with visit(browser, house.address) as one:
        page = one.go("/sign-in")
        password = page.locator("code").first.inner_text()
        page.locator("[name=username]").fill(name)
        page.locator("[name=password]").fill(password)
        page.get_by_role("button", name="Sign in").tap()
        page.wait_for_url(f"{house.address}/")
        # The cookie that says a message was seen, and the phone's own memory, start afresh.
        return {"cookies": one.context.cookies(), "origins": []}


@pytest.fixture(scope="session")
def reading_house(herd: Path, signed_in: dict[str, SignedIn]) -> Iterator[House]:
    """A house for tests that only read, served once."""
    with being_served(_copied(herd, "reading")) as one:
        yield one


@pytest.fixture
def devices() -> Iterator[ExitStack]:
    """The devices of a test, put away before the house they visit is closed.

    A page that asks for something while its server stops writes down a fault nobody made.
    """
    with ExitStack() as every:
        yield every


@pytest.fixture
def house(
    herd: Path, signed_in: dict[str, SignedIn], tmp_path: Path, devices: ExitStack
) -> Iterator[House]:
    """A house of the test's own, to write in and to kill."""
    folder = tmp_path / "house"
    shutil.copytree(herd, folder)
    with being_served(House(folder)) as one:
        yield one
        devices.close()


@pytest.fixture(scope="session")
def with_doses(herd: Path, signed_in: dict[str, SignedIn]) -> tuple[Path, dict[str, Any]]:
    """The herd with orders due today, made once; and who gets what."""
    folder = herd.with_name("with-doses")
    return folder, seeded(herd, folder)


@pytest.fixture
def ward(with_doses: tuple[Path, dict[str, Any]]) -> dict[str, Any]:
    """Who gets what in the dose house: ids by what they are an example of."""
    return with_doses[1]


@pytest.fixture
def dose_house(with_doses: tuple[Path, dict[str, Any]], tmp_path: Path) -> Iterator[House]:
    """A house with doses to give, of the test's own."""
    folder = tmp_path / "doses"
    shutil.copytree(with_doses[0], folder)
    with being_served(House(folder)) as one:
        yield one


@pytest.fixture
def empty_house(tmp_path: Path, devices: ExitStack) -> Iterator[House]:
    """A house nobody has an account in yet."""
    with being_served(House(tmp_path / "empty")) as one:
        yield one
        devices.close()


def _copied(herd: Path, name: str) -> House:
    folder = herd.with_name(name)
    shutil.copytree(herd, folder)
    return House(folder)


@contextmanager
def being_served(house: House) -> Iterator[House]:
    """A house with its server; what broke on the server fails the test, in the server's words."""
    house.start()
    try:
        yield house
    finally:
        house.stop()
        assert "Traceback" not in house.log(), house.log()


@pytest.fixture
def arrive(
    browser: Browser, signed_in: dict[str, SignedIn], devices: ExitStack
) -> Iterator[Visiting]:
    """Bring a device to a house; all are put away at the end, and none may have a fault."""

    def bring(
        house: House,
        *,
        role: str | None = "carer",
        device: Device = "phone",
        dark: bool = False,
        worker: bool = True,
        address: str | None = None,
    ) -> Visit:
        state = signed_in[role] if role else None
        come = visit(
            browser,
            address or house.address,
            device=device,
            signed_in=state if address is None else None,
            dark=dark,
            worker=worker,
        )
        return devices.enter_context(come)

    yield bring
    devices.close()


@pytest.fixture
def phone(arrive: Visiting, house: House) -> Visit:
    """A carer's phone at the test's own house."""
    return arrive(house)


@pytest.fixture
def desk(arrive: Visiting, house: House) -> Visit:
    """A carer's desk at the test's own house."""
    return arrive(house, device="desk")
