"""The device's own ways in: all that installing needs, and shortcuts that lead straight to work."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, CDPSession, Page

from tests.browser.hand import begin, changed, has, press, settled, shows
from tests.browser.harness import (
    COMPILED_ONCE,
    FLAGS,
    PATIENCE_MS,
    PHONE,
    Server,
    Visit,
    kept,
    ready,
    serving,
    text,
    visiting,
    wait_for_text,
)
from tests.browser.test_quick_checks import measure_the_sample

AS_A_PHONE: dict[str, Any] = {"viewport": PHONE, "has_touch": True}
CHECK, JOB = "#start=check", "#start=job"
ASKED = "Go to the quick check?"
LAUNCH = """
    Object.defineProperty(window, 'launchQueue', { value: {
        setConsumer(take) { window.launched = (targetURL) => take({ targetURL }); },
    } });
"""
"""Stands for the browser's own queue, which tells an open window where a shortcut would lead."""


@pytest.fixture(params=["/", "/shop/bench/"], ids=["root", "sub-path"])
def below(request: pytest.FixtureRequest, app_site: Any) -> Any:
    """The site at the root of a host and below a path of it."""
    with serving(app_site, request.param) as server:
        yield server


def read(session: CDPSession) -> dict[str, Any]:
    """The manifest as Chromium reads it; nothing in it is complained of."""
    told = session.send("Page.getAppManifest")
    assert told["errors"] == []
    return dict(json.loads(told["data"]) | {"read": told["manifest"], "at": told["url"]})


def test_chromium_finds_all_that_installing_needs(visit: Visit, below: Server) -> None:
    """Read by Chromium itself: id, scope, start, display, icons of both purposes, pictures for both
    forms and shortcuts, every address below the site and every picture there."""
    page = visit.open(below.address).page
    session = visit.context.new_cdp_session(page)
    errors = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
    assert [one["errorId"] for one in errors if one["errorId"] != "in-incognito"] == []
    manifest = read(session)
    known = manifest["read"]
    origin = "/".join(below.address.split("/")[:3])
    assert known["id"] == f"{origin}/nutwright"
    assert known["scope"] == known["startUrl"] == below.address
    assert known["display"].lower().endswith("standalone")
    starts = [shortcut["url"] for shortcut in known["shortcuts"]]
    assert starts == [below.address + CHECK, below.address + JOB]
    assert {icon["purpose"] for icon in manifest["icons"]} == {"any", "maskable"}
    assert {"192x192", "512x512"} <= {icon["sizes"] for icon in manifest["icons"]}
    shots = manifest["screenshots"]
    assert {shot["form_factor"] for shot in shots} == {"narrow", "wide"}
    pictures = [*manifest["icons"], *shots]
    pictures += [icon for shortcut in manifest["shortcuts"] for icon in shortcut["icons"]]
    for picture in pictures:
        assert size_of(page, below.address + picture["src"]) == picture["sizes"]


def size_of(page: Page, address: str) -> str:
    """Width and height of a picture as the browser decodes it."""
    return str(
        page.evaluate(
            """async (address) => {
                const blob = await (await fetch(address)).blob();
                const { width, height } = await createImageBitmap(blob);
                return `${width}x${height}`;
            }""",
            address,
        )
    )


def test_shortcuts_lead_straight_to_work_without_a_network(visit: Visit, below: Server) -> None:
    """With the server dead: one shows the instruments, and a touch on one begins its check; the
    other shows what can be taken in. The address is clean again."""
    page = visit.open(below.address).page
    shows(page, "sample")
    measure_the_sample(page)
    before = settled(page)
    press(page, "back")
    changed(page, before)
    kept(page)
    below.kill()
    visit.context.set_offline(True)

    led(page, below.address + JOB, "kind-electric guitar")
    assert page.url == below.address
    led(page, below.address + CHECK, "several")
    wait_for_text(page, "Quick check")
    page.locator('[flt-semantics-identifier^="instrument-"]').first.click()
    shows(page, "asked")
    assert page.url == below.address


def led(page: Page, address: str, mark: str) -> None:
    """Open the app at a shortcut's address, as from the device's own screen."""
    page.goto("about:blank")
    page.goto(address)
    ready(page)
    shows(page, mark)


@pytest.mark.returning
def test_a_shortcut_on_a_new_device_says_what_a_check_needs(
    visit: Visit, app_server: Server
) -> None:
    """Nothing is on record: the list says so, and that a check needs one measured job."""
    page = visit.open(app_server.address + CHECK).page
    shows(page, "several")
    said = text(page)
    assert "An instrument is on record once a job was started on it." in said
    assert "A quick check needs one job that measured it." in said


@pytest.mark.returning
def test_a_shortcut_does_not_interrupt_a_reading(visit: Visit, app_server: Server) -> None:
    """In the middle of a walk it asks: staying changes nothing, going leaves it as it stood."""
    page = visit.page
    page.add_init_script(LAUNCH)
    visit.open(app_server.address)
    shows(page, "new-job")
    begin(page)
    before = settled(page)
    told(page, app_server.address + CHECK)
    page.get_by_text(ASKED).wait_for()
    assert settled(page) == before
    page.get_by_role("button", name="Stay here").click()
    assert not page.get_by_text(ASKED).is_visible()
    assert settled(page) == before

    page.evaluate(f"() => {{ location.hash = '{CHECK}'; }}")  # a browser without such a queue
    page.get_by_text(ASKED).wait_for()
    assert settled(page) == before
    page.get_by_role("button", name="Go there").click()
    shows(page, "several")
    wait_for_text(page, "Quick check")
    before = settled(page)
    press(page, "back")
    wait_for_text(page, "at string 6")
    told(page, app_server.address + JOB)
    shows(page, "kind-electric guitar")
    assert not has(page, "job")


def told(page: Page, address: str) -> None:
    """The browser tells the open window of a shortcut that was touched."""
    page.evaluate("(address) => { launched(address); }", address)


@pytest.mark.returning
def test_a_shortcut_that_opens_onto_work_asks_first(visit: Visit, app_server: Server) -> None:
    """The app went away mid-walk and comes back by a shortcut: work stands where it was, and the
    shortcut is asked about."""
    page = visit.open(app_server.address).page
    shows(page, "new-job")
    begin(page)
    before = settled(page)
    led(page, app_server.address + CHECK, "asked")
    page.get_by_text(ASKED).wait_for()
    assert settled(page) == before
    page.get_by_role("button", name="Go there").click()
    shows(page, "several")


BY_SHARE_MENU = "Object.defineProperty(navigator, 'standalone', { value: false });"
"""What browsers say that install by their share menu alone: not started from the home screen."""


@pytest.mark.parametrize(
    ("language", "steps", "second"),
    [("en-GB", "Step 2 of 4", "Add to Home Screen"), ("de-DE", "Schritt 2 von 4", "Home-Bild")],
)
def test_where_only_the_share_menu_installs_pictures_show_how(
    browser: Browser, app_server: Server, language: str, steps: str, second: str
) -> None:
    """Under Records, in the reader's language, each step is told to a screen reader; once the app
    is started from the home screen the way is gone."""
    with visiting(browser, locale=language) as visit:
        visit.page.add_init_script(BY_SHARE_MENU)
        page = visit.open(app_server.address).page
        press(page, "records")
        shows(page, "install")
        press(page, "install")
        wait_for_text(page, steps)
        assert second in text(page)
        page.close()
        page = visit.context.new_page()
        page.add_init_script(BY_SHARE_MENU.replace("false", "true"))
        page.goto(app_server.address)
        ready(page)
        press(page, "records")
        shows(page, "health")
        settled(page)
        assert not has(page, "install")


@pytest.mark.returning
def test_a_browser_that_installs_by_itself_shows_no_pictures(
    visit: Visit, app_server: Server
) -> None:
    """Once the browser offers to install, the button asks it to, and what it says is told."""
    page = visit.open(app_server.address).page
    press(page, "records")
    shows(page, "health")
    settled(page)
    assert not has(page, "install")
    page.evaluate(
        """() => {
            const offer = new Event('beforeinstallprompt', { cancelable: true });
            offer.prompt = () => {};
            offer.userChoice = Promise.resolve({ outcome: 'accepted' });
            dispatchEvent(offer);
        }"""
    )
    shows(page, "install")
    press(page, "install")
    wait_for_text(page, "Installed.")


def test_the_installed_app_is_led_by_its_shortcuts(
    browser: Browser, app_server: Server, tmp_path: Path
) -> None:
    """Installed by Chromium itself and opened by its own shortcuts: the first leads straight on;
    one that comes in the middle of a walk goes to the window that is open and is asked about there,
    with nothing reloaded; opened by its icon, it only comes to the front."""
    context = browser.browser_type.launch_persistent_context(
        str(tmp_path),
        executable_path=shutil.which("chromium"),
        args=[*FLAGS, COMPILED_ONCE],
        **AS_A_PHONE,
    )
    try:
        context.set_default_timeout(PATIENCE_MS)
        address = app_server.address
        page = context.pages[0]
        page.goto(address)
        ready(page)
        device = context.new_cdp_session(page)
        app = {"manifestId": f"{address}nutwright"}
        device.send("PWA.install", app | {"installUrlOrBundleUrl": address})
        device.send("PWA.launch", app | {"url": address + CHECK})
        shows(page, "several")
        press(page, "back")
        shows(page, "new-job")
        begin(page)
        before, loaded = settled(page), page.evaluate("() => performance.timeOrigin")

        device.send("PWA.launch", app | {"url": address + JOB})
        page.get_by_text("Go to a new job?").wait_for()
        assert settled(page) == before
        page.get_by_role("button", name="Stay here").click()
        device.send("PWA.launch", app)
        page.wait_for_timeout(1000)
        assert settled(page) == before
        assert len(context.pages) == 1
        assert page.evaluate("() => performance.timeOrigin") == loaded
    finally:
        context.close()
