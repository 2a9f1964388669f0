"""Two phones with the published app: they work apart, join by a link, meet, and one is shut out."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.hand import begin, has, press, settled, shows
from tests.browser.harness import Visit, ready, text, visiting, wait_for_text
from tests.hub.processes import HubProcess, hub_command

BENCH = "Alder Row Strings"
IN_STEP = "In step: this device and the hub hold the same."
SHUT_OUT = "The hub does not let this device in any more."
AWAY = "The hub is out of reach."
DIGEST = "Digest of all"


@pytest.fixture
def hub(app_site: Path, tmp_path: Path) -> Iterator[HubProcess]:
    """A hub that serves the app."""
    process = HubProcess(str(tmp_path / "hub.sqlite"), ("--app", str(app_site)))
    process.start()
    yield process
    process.kill()


@pytest.fixture
def phones(browser: Browser, hub: HubProcess) -> Iterator[tuple[Visit, Visit]]:
    """Two browsers that nobody used, both at the hub's address."""
    with ExitStack() as stack:
        one, other = (stack.enter_context(visiting(browser)) for _ in range(2))
        yield one.open(hub.address), other.open(hub.address)


def link(hub: HubProcess, job: str) -> str:
    """The joining link that the hub's console prints, which its QR code holds too."""
    said = hub_command(job, BENCH, "--store", hub.store, "--address", hub.address)
    return next(line for line in said.splitlines() if line.startswith("http"))


def home(page: Page) -> None:
    """Back to the list of jobs, from wherever this is."""
    while not has(page, "new-job"):
        press(page, "back")
        settled(page)


def hub_page(page: Page) -> None:
    """From anywhere to how this device stands with its hub."""
    home(page)
    press(page, "records")
    shows(page, "hub")
    press(page, "hub")
    shows(page, "meet")


def meet(page: Page, wanted: str) -> None:
    """Meet by hand until the hub's page says what is wanted."""
    hub_page(page)
    press(page, "meet")
    wait_for_text(page, wanted)


def measure(page: Page, kind: str, answers: int) -> None:
    """A job on this device with so many answers."""
    home(page)
    begin(page, kind)
    for _ in range(answers):
        press(page, "answer-light")
        settled(page)


def digest(page: Page) -> str:
    """What the storage page says of the whole history."""
    home(page)
    press(page, "records")
    shows(page, "health")
    press(page, "health")
    shows(page, "copy")
    lines = text(page).splitlines()
    return lines[lines.index(DIGEST) + 1]


def agree(one: Page, other: Page, meetings: int = 8) -> bool:
    """Whether both come to one digest: where somebody stands is noted, too, and travels after."""
    for _ in range(meetings):
        meet(one, IN_STEP)
        meet(other, IN_STEP)
        if digest(one) == digest(other) != "":
            return True
    return False


def join(page: Page, label: str) -> None:
    """Say yes to the link."""
    shows(page, "join")
    page.get_by_label("Name of this device").click()
    settled(page)
    page.keyboard.press("Control+A")
    page.keyboard.type(label)
    settled(page)
    press(page, "join")
    wait_for_text(page, IN_STEP)


@pytest.mark.long
def test_two_phones_that_worked_apart_join_by_link_and_come_to_one_history(
    phones: tuple[Visit, Visit], hub: HubProcess
) -> None:
    """Each shows both jobs and the same digest; the code is gone from the address; the one that is
    revoked gets nothing and says so, goes on recording, and so does the other without its hub."""
    one, other = (phone.page for phone in phones)
    measure(one, "electric guitar", 2)
    measure(other, "bass guitar", 3)
    one.goto(link(hub, "bench"))  # in the open app
    join(one, "Bench phone")
    other.goto("about:blank")
    other.goto(link(hub, "code"))  # as the camera would open it
    ready(other)
    join(other, "Touring phone")
    for page in (one, other):
        page.wait_for_function("() => location.hash === ''")
    assert agree(one, other)
    home(one)
    assert {"Electric guitar", "Bass guitar"} <= set(titles(one))
    devices = hub_command("devices", BENCH, "--store", hub.store).splitlines()
    (touring,) = (
        line.split()[0]
        for line in devices
        if " Touring phone " in f"{line} " and "came by" not in line
    )
    hub_command("revoke", BENCH, touring, "--store", hub.store)
    measure(one, "mandolin", 1)
    meet(one, IN_STEP)
    meet(other, SHUT_OUT)
    home(other)
    assert "Mandolin" not in titles(other)
    measure(other, "12-string guitar", 1)
    assert digest(one) != digest(other)
    hub.kill()
    measure(one, "bass guitar", 1)
    meet(one, AWAY)
    assert [visit.outside(hub.address) for visit in phones] == [[], []]


def titles(page: Page) -> list[str]:
    """The jobs on the bench."""
    return [line.split(". ")[0] for line in text(page).splitlines() if ". " in line]
