"""Two phones with profiles of their own, and the hub that also serves them the app."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.harness import PATIENCE_MS, Visit
from tests.browser.worker_bench import PAGE, furnish, run
from tests.hub.processes import HubProcess, hub_command

BENCH = "Alder Row Strings"
START = """
from logic.history import History
from logic.sync.agent import AgentEnvironment, SyncAgent
from logic.sync.pairing import PairingFile
from mobile.device.fetch import FetchTransport, own_address
from mobile.device.storage import open_device_store
from mobile.device.worker_browser import WorkerBrowser
from shared.events import Kind
directory, health = await open_device_store(WorkerBrowser())
history = History.open(directory)
agent = SyncAgent(history, PairingFile(directory), AgentEnvironment(FetchTransport))
await agent.load()
health.kind.value + " " + agent.status.phase
"""
JOIN = """
pairing = await agent.join(own_address(), "CODE", "Phone")
pairing.bench_name + " " + str(history.bench == pairing.bench)
"""
RECORD = """
for number in range(30):
    history.record(Kind.SETTING_CHANGED, {"name": "NAME", "value": number})
await history.settled()
str(sum(history.vector.values()))
"""
MEET = """
outcome = await agent.sync_now()
f"{outcome.sent} {outcome.received} {outcome.agreed}" if outcome else str(agent.status.message)
"""
SHOWN = "str(history.setting('unit')) + ' ' + str(history.setting('hand'))"
STATE = "str(agent.entry_state(f'{history.device}:30')[0])"


@pytest.fixture(scope="module")
def hub(app_site: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[HubProcess]:
    """A hub that serves the app."""
    folder = tmp_path_factory.mktemp("hub")
    site = shutil.copytree(furnish(app_site, folder / "linked"), folder / "site")
    script = PAGE.partition("<script>")[2].partition("</script>")[0]
    (site / "bench.js").write_text(script)  # the hub's pages may run no script but their files
    (site / "bench.html").write_text('<!doctype html><script src="bench.js"></script>')
    process = HubProcess(str(folder / "hub.sqlite"), ("--app", str(site)))
    process.start()
    yield process
    process.kill()


def phone(browser: Browser, hub: HubProcess) -> Page:
    """A page of a profile that nobody used, on the address of the hub."""
    page = browser.new_context().new_page()
    page.set_default_timeout(PATIENCE_MS)
    page.goto(hub.address + "/bench.html")
    return page


def code(hub: HubProcess, job: str, bench: str = BENCH) -> str:
    """A joining code."""
    return hub_command(job, bench, "--store", hub.store).split("joining code ")[1].split()[0]


def test_two_phones_in_two_browsers_come_to_one_history(browser: Browser, hub: HubProcess) -> None:
    """They work apart, meet the hub in turn, and show the same; a revoked phone gets nothing."""
    phones = [phone(browser, hub), phone(browser, hub)]
    for page, job, name in zip(phones, ("bench", "code"), ("unit", "hand"), strict=True):
        assert run(page, START) == "private files no hub"
        assert run(page, JOIN.replace("CODE", code(hub, job))) == f"{BENCH} True"
        assert run(page, RECORD.replace("NAME", name)) == "30"
        assert run(page, STATE) == "here"
    assert run(phones[0], MEET) == "30 0 True"
    assert run(phones[1], MEET) == "30 30 True"
    assert run(phones[0], MEET) == "0 30 True"
    assert {run(page, SHOWN) for page in phones} == {"29 29"}
    assert run(phones[0], STATE) == "on the hub"
    listed = hub_command("devices", BENCH, "--store", hub.store).split()
    hub_command("revoke", BENCH, listed[0], "--store", hub.store)
    said = [run(page, MEET) for page in phones]
    assert sum("does not know this key" in line for line in said) == 1
    assert sum(line == "0 0 True" for line in said) == 1


def test_a_phone_without_its_hub_goes_on(browser: Browser, hub: HubProcess) -> None:
    """With the hub gone the phone says so, records, and is in step once the hub is back."""
    page = phone(browser, hub)
    run(page, START)
    run(page, JOIN.replace("CODE", code(hub, "bench", "Kiln Lane Strings")))
    hub.kill()
    assert "cannot be reached" in run(page, MEET)
    run(page, RECORD.replace("NAME", "drone"))
    hub.start()
    assert run(page, MEET).startswith("30 ")


def test_the_hub_serves_the_app_itself(visit: Visit, hub: HubProcess) -> None:
    """Under the hub's own strict headers the app starts, and nothing outside is asked for."""
    visit.open(hub.address + "/")
    assert visit.outside(hub.address) == []


REWRITE = """
history.record(Kind.SETTING_CHANGED, {"name": "secret", "value": "Larkspur"})
await history.settled()
history.save_snapshot()
await history.settled()
history.erase(("setting", "secret"), 0)
await history.settled()
gone = history.purge()
await history.settled()
history.record(Kind.SETTING_CHANGED, {"name": "after", "value": 1})
await history.settled()
files = history.journal.directory
kept = any(b"Larkspur" in files.open(n).read_at(0, files.open(n).size()) for n in files.names())
f"{gone} {kept} {history.setting('secret')} {history.setting('after')} {history.trouble}"
"""


def test_content_is_erased_from_a_browsers_storage(browser: Browser, hub: HubProcess) -> None:
    """Written anew in the private files of a real browser: the content is in none of them, and
    recording goes on, also after the page is opened again."""
    page = phone(browser, hub)
    run(page, START.replace("History.open(directory)", "History.open(directory, grace_ms=0)"))
    assert run(page, REWRITE) == "True False None 1 None"
    page.reload()
    run(page, START)
    assert run(page, "str(history.setting('after')) + str(history.report.clean)") == "1True"
