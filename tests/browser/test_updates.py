"""The app updated under somebody's hands: from the last commit, and back to an older build."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from mobile.publish.build import NUTWRIGHT, build
from mobile.publish.pack import PublishedApp, app_files
from shared.bootstrap import ROOT
from tests.browser.hand import BrowserHand, begin, has, press, settled, shows
from tests.browser.harness import Visit, kept, ready, serving, until, wait_for_text
from tests.once import once

pytestmark = pytest.mark.long

HEIGHTS_MM = {6: 0.9, 5: 0.45, 4: 0.9, 3: 0.45, 2: 0.9, 1: 0.4}
BUILD = "() => kept.state().build"
UPDATE = "() => kept.state().update"
COPIES = "async () => (await caches.keys()).filter((name) => !name.endsWith(' notes')).length"
HOME_REFUSED = b"""
drawn = home_screen


def home_screen(view: HomeView, look: Look, act: Act) -> ft.Control:
    return drawn(view, look, act) if view == HomeView(()) else ft.Text("x", spans=["x"])
"""
SETTINGS_BENT = b"""
def settings_screen(view: SettingsView, look: Look, act: Act) -> ft.Control:
    raise ValueError("bent")
"""


def source(root: Path, change: Callable[[str, bytes], bytes]) -> PublishedApp:
    """The app as it stands, each file passed through `change`, in a folder of its own."""
    for path, data in app_files(NUTWRIGHT).items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_bytes(change(path, data))
    return replace(NUTWRIGHT, root=root)


def marked_source(path: str, data: bytes) -> bytes:
    """One line more in the entry point: the same app as another build."""
    return data + b'\nBUILT = "after"\n' if path == "mobile/main.py" else data


def newer_format(path: str, data: bytes) -> bytes:
    """The app as it will be once journals have another format."""
    if path != "logic/history/journal/segment.py":
        return data
    assert data.count(b"VERSION = 1\n") == 1
    return data.replace(b"VERSION = 1\n", b"VERSION = 2\n")


def empty_home(path: str, data: bytes) -> bytes:
    """The app with a home that the client refuses to draw, once there are jobs."""
    return data + HOME_REFUSED if path == "mobile/screens/home.py" else data


def no_settings(path: str, data: bytes) -> bytes:
    """The app with a screen that fails as it is made."""
    return data + SETTINGS_BENT if path == "mobile/screens/settings.py" else data


def build_of_the_last_commit(root: Path) -> Path | None:
    """The site that the commit before this one publishes by itself; None without a history."""
    ask = ["git", "archive", "--format=zip", "HEAD~1"]
    try:
        taken = subprocess.run(ask, cwd=ROOT, capture_output=True, check=True)
    except (OSError, subprocess.CalledProcessError):
        return None
    with zipfile.ZipFile(io.BytesIO(taken.stdout)) as archive:
        archive.extractall(root)
    shutil.copytree(ROOT / ".build", root / ".build", ignore=shutil.ignore_patterns("site*"))
    script = "from mobile.publish.commands import main; raise SystemExit(main())"
    done = subprocess.run(
        [sys.executable, "-c", script, "build", "--out", str(root / "site")],
        cwd=root,
        env=os.environ | {"PYTHONPATH": str(root)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return root / "site"


@pytest.fixture
def hosted(app_site: Path, shared_folder: Path, tmp_path: Path) -> Path:
    """A host with the last commit's build, or with this one's where there is no history."""
    earlier = once(shared_folder, "earlier-site", lambda out: earlier_site(app_site, out))
    return Path(shutil.copytree(earlier, tmp_path / "host"))


def earlier_site(app_site: Path, out: Path) -> None:
    """Put the site that came before this one at `out`."""
    with TemporaryDirectory() as root:
        shutil.copytree(build_of_the_last_commit(Path(root)) or app_site, out)


def publish(host: Path, app: PublishedApp) -> None:
    """Put another build on the host, in place of what is there."""
    build(app, host)


def measured(visit: Visit, answers: int) -> BrowserHand:
    """A job under the hands, with this many answers given."""
    begin(visit.page)
    hand = BrowserHand(HEIGHTS_MM)
    for _ in range(answers):
        hand.answer(visit.page)
    return hand


def take_the_update(visit: Visit) -> None:
    """Leave the walk for home, where nothing is under way, and use what is offered there."""
    use = visit.page.get_by_role("button", name="Use it now")
    press(visit.page, "back")
    shows(visit.page, "new-job")
    with visit.page.expect_navigation():
        use.click()
    ready(visit.page)


def test_an_update_in_the_middle_of_a_walk_waits_and_loses_nothing(
    visit: Visit, hosted: Path, tmp_path: Path
) -> None:
    """The newer build lies beside the old one while answers go on; taken from home, it shows the
    walk where it stood, and only then the old copy goes."""
    with serving(hosted) as server:
        page = visit.open(server.address).page
        shows(page, "new-job")
        kept(page)
        before = page.evaluate(BUILD)
        hand = measured(visit, 2)
        publish(hosted, source(tmp_path / "newer", marked_source))
        page.evaluate("() => kept.look()")
        page.wait_for_function(UPDATE)
        assert page.evaluate(COPIES) == 2
        server.kill()
        hand.answer(page)
        stood = hand.answer(page)
        assert not page.get_by_role("button", name="Use it now").is_visible()
        assert page.evaluate(BUILD) == before
        assert page.evaluate(COPIES) == 2

        take_the_update(visit)
        assert page.evaluate(BUILD) != before
        until(page, COPIES.replace(".length", ".length === 1"))
        if not has(page, "asked"):
            page.locator('[flt-semantics-identifier^="job-"]').first.click()
            shows(page, "asked")
        assert settled(page) == stood
        hand.answer(page)


def test_a_build_whose_home_cannot_be_drawn_gives_way_and_keeps_the_job(
    visit: Visit, hosted: Path, tmp_path: Path
) -> None:
    """Home comes up as an empty box: the version before comes back by itself, with the jobs as they
    stood; its page of the records says why, and the newer one is tried again from there."""
    with serving(hosted) as server:
        page = visit.open(server.address).page
        shows(page, "new-job")
        kept(page)
        before = page.evaluate(BUILD)
        measured(visit, 2)
        publish(hosted, source(tmp_path / "newer", empty_home))
        page.evaluate("() => kept.look()")
        page.wait_for_function(UPDATE)
        press(page, "back")
        shows(page, "new-job")
        stood = settled(page)
        with page.expect_navigation():
            page.get_by_role("button", name="Use it now").click()
        page.get_by_text("The newer version did not start").wait_for()
        page.get_by_role("button", name="Go on").click()
        ready(page)
        assert page.evaluate(BUILD) == before
        if has(page, "asked"):
            press(page, "back")
            shows(page, "new-job")
        assert settled(page) == stood

        press(page, "records")
        wait_for_text(page, "A newer Nutwright was not taken: ")
        with page.expect_navigation():
            press(page, "try-newer")
        page.get_by_text("The newer version did not start").wait_for()
        assert page.evaluate(BUILD) == before


def test_a_screen_that_cannot_be_drawn_leads_home_and_hands_out_a_copy(
    visit: Visit, tmp_path: Path
) -> None:
    """Where a screen fails on a build that runs, the page says so over it: a copy of everything is
    handed out from there, and the app opens at the jobs, not where it failed."""
    build(source(tmp_path / "source", no_settings), tmp_path / "site")
    with serving(tmp_path / "site") as server:
        page = visit.keep(server.address).page
        measured(visit, 2)
        press(page, "back")
        shows(page, "settings")
        press(page, "settings")
        page.get_by_text("A screen could not be drawn").wait_for()
        assert "ValueError: bent" in page.inner_text("#notice")
        with page.expect_download() as waiting:
            page.get_by_role("button", name="Hand out a copy").click()
        copy = Path(waiting.value.path()).read_text(encoding="utf-8")
        assert copy.count("reading.taken") == 2
        with page.expect_navigation():
            page.get_by_role("button", name="Open at the jobs").click()
        ready(page)
        shows(page, "new-job")
        assert not page.locator("#notice").is_visible()


def test_an_older_build_reads_a_newer_journal_and_refuses_to_write(
    visit: Visit, app_site: Path, tmp_path: Path
) -> None:
    """Put back to a build that does not know the journal's format, the app says so, keeps what is
    there and writes nothing."""
    host = tmp_path / "host"
    build(source(tmp_path / "newer", newer_format), host)
    with serving(host) as server:
        page = visit.open(server.address).page
        shows(page, "new-job")
        kept(page)
        measured(visit, 2)
        shutil.rmtree(host)
        shutil.copytree(app_site, host)
        page.evaluate("() => kept.look()")
        page.wait_for_function(UPDATE)
        take_the_update(visit)
        wait_for_text(page, "A newer Nutwright wrote this history")
