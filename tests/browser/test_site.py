"""The published site in a real browser: offline, under a sub-path, damaged, and updated."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from mobile.publish.build import build
from mobile.publish.builds import lineage_after
from tests.browser.broken_builds import BROKEN, broken_build
from tests.browser.harness import (
    PLAIN,
    Visit,
    finds_update,
    flip_a_byte,
    newer_build,
    serving,
    takes_update,
    tap,
    until,
    wait_for_text,
)
from tests.once import once

STATE = "() => kept.state()"
SLOW_TO_REGISTER = """(() => {
    const { register } = ServiceWorkerContainer.prototype;
    ServiceWorkerContainer.prototype.register = async function (...words) {
        await new Promise((resolve) => setTimeout(resolve, 4000));
        return register.apply(this, words);
    };
})()"""
"""As on a busy phone, where the page is drawn before its worker has answered."""
NO_COPY = "async () => (await caches.keys()).every((name) => name.endsWith(' notes'))"
ONE_COPY = "async () => (await caches.keys()).filter((n) => !n.endsWith(' notes')).length === 1"


@pytest.fixture(scope="module")
def newer_site(shared_folder: Path, plain_site: Path) -> Path:
    """The plain page with one word changed: the build after."""

    def make(out: Path) -> None:
        newer_build(out.with_name("newer-source"), out, lineage_after(plain_site))

    return once(shared_folder, "newer-site", make)


@pytest.fixture
def hosted(plain_site: Path, tmp_path: Path) -> Path:
    """A copy of the plain site that a test may damage or replace."""
    return Path(shutil.copytree(plain_site, tmp_path / "host"))


def test_after_one_visit_it_starts_with_the_server_dead(visit: Visit, hosted: Path) -> None:
    """One visit is enough: with the server killed and the network off the app starts and works."""
    with serving(hosted) as server:
        visit.keep(server.address)
    visit.context.set_offline(True)
    visit.reload()
    tap(visit.page, "Tap here")
    wait_for_text(visit.page, "1 taps")
    assert visit.outside(server.address) == []
    assert [said for said in visit.said if "Content Security Policy" in said] == []


def test_it_lives_under_a_sub_path(visit: Visit, hosted: Path) -> None:
    """The same files work below any path, and a deep address in it leads to the app."""
    with serving(hosted, "/shop/bench/") as server:
        visit.keep(server.address)
    visit.open(server.address + "no/such/page")
    origin = server.address.removesuffix("/shop/bench/")
    strays = [url for url in visit.requests if not url.startswith(server.address)]
    assert [url for url in strays if not url.startswith("blob:" + origin)] == []


@pytest.mark.long
def test_a_flipped_byte_keeps_the_version_that_works(
    visit: Visit, hosted: Path, newer_site: Path
) -> None:
    """An update with one damaged file is refused whole and the page is told why; tried again once
    the host is mended, it comes, even where that is asked for before the worker answered."""
    with serving(hosted) as server:
        visit.keep(server.address)
        before = visit.page.evaluate(STATE)["build"]
        _replace(hosted, newer_site)
        flip_a_byte(hosted / "app.zip")
        visit.page.evaluate("() => kept.look()")
        visit.page.wait_for_function("() => kept.state().refusal !== ''")
        assert "app.zip" in visit.page.evaluate(STATE)["refusal"]
        visit.page.add_init_script(SLOW_TO_REGISTER)
        visit.reload()
        wait_for_text(visit.page, "Plain page")
        assert visit.page.evaluate(STATE)["build"] == before
        flip_a_byte(hosted / "app.zip")
        visit.page.evaluate("() => asks.again()")
        visit.page.wait_for_function("() => kept.state().update")
        assert visit.page.evaluate(STATE)["refusal"] == ""


def test_an_update_waits_until_it_is_asked_for(
    visit: Visit, hosted: Path, newer_site: Path
) -> None:
    """A newer build is fetched beside the old one and takes over only when the page says so."""
    with serving(hosted) as server:
        visit.keep(server.address)
        _replace(hosted, newer_site)
        finds_update(visit.page)
        visit.reload()
        wait_for_text(visit.page, "Plain page")
        visit.page.wait_for_function("() => kept.state().update")
        takes_update(visit.page)
        wait_for_text(visit.page, "Newer page")
        until(visit.page, ONE_COPY)


def test_an_update_is_offered_only_at_a_quiet_moment(
    visit: Visit, hosted: Path, newer_site: Path
) -> None:
    """The strip appears when Python says that nothing is under way, and its button updates."""
    with serving(hosted) as server:
        visit.keep(server.address)
        _replace(hosted, newer_site)
        finds_update(visit.page)
        use = visit.page.get_by_role("button", name="Use it now")
        assert not use.is_visible()
        visit.page.evaluate("() => asks.quiet({ on: true })")
        with visit.page.expect_navigation():
            use.click()
        wait_for_text(visit.page, "Newer page")


@pytest.fixture(params=BROKEN)
def broken_site(request: pytest.FixtureRequest, shared_folder: Path) -> tuple[Path, str]:
    """A build that does not start, and what the page says of it."""
    return broken_build(shared_folder, request.param), BROKEN[request.param][1]


def test_a_build_that_does_not_start_gives_way_to_the_one_before(
    visit: Visit, hosted: Path, broken_site: tuple[Path, str]
) -> None:
    """A new build that fails to boot, or whose first screen the client draws as an empty box, is
    taken back on its own, offline too, and the page is told why; the version before stays."""
    newer, why = broken_site
    with serving(hosted) as server:
        visit.keep(server.address)
        before = visit.page.evaluate(STATE)["build"]
        _replace(hosted, newer)
        finds_update(visit.page)
        server.kill()
        visit.context.set_offline(True)
        takes_update(visit.page)
        visit.page.get_by_text("The newer version did not start: ").filter(has_text=why).wait_for()
        visit.page.get_by_role("button", name="Go on").click()
        wait_for_text(visit.page, "Plain page")
        assert visit.page.evaluate(STATE)["build"] == before
        visit.reload()
        wait_for_text(visit.page, "Plain page")


FICKLE = """import bench_js

if bench_js.start_screen == "bent":
    raise RuntimeError("bent file")
"""
"""A build that does not start while the page keeps a certain note."""


def test_a_build_that_gave_way_is_remembered_and_can_be_tried_again(
    visit: Visit, hosted: Path, tmp_path: Path
) -> None:
    """The version before says at every start why the newer one was not taken; tried again by hand
    once nothing is in its way, the newer one runs and stays."""
    source = (PLAIN.root / "main.py").read_text(encoding="utf-8")
    newer = FICKLE + source.replace("Plain page", "Newer page")
    (tmp_path / "main.py").write_text(newer, encoding="utf-8")
    app = replace(PLAIN, root=tmp_path, paths=("main.py",))
    build(app, tmp_path / "newer", lineage=lineage_after(hosted))
    with serving(hosted) as server:
        visit.keep(server.address)
        visit.page.evaluate("() => localStorage.setItem('nutwright.porch', 'bent')")
        _replace(hosted, tmp_path / "newer")
        finds_update(visit.page)
        takes_update(visit.page)
        visit.page.get_by_text("The version before is running").wait_for()
        for _ in range(2):
            visit.page.wait_for_function("() => kept.state().refusal !== ''")
            assert visit.page.evaluate(STATE)["refusal"] == "RuntimeError: bent file"
            visit.page.reload()
        visit.page.wait_for_function("() => kept.state().refusal !== ''")
        with visit.page.expect_navigation():
            visit.page.evaluate("() => { asks.again(); }")
        visit.page.get_by_text("The version before is running").wait_for()
        visit.page.evaluate("() => localStorage.removeItem('nutwright.porch')")
        with visit.page.expect_navigation():
            visit.page.get_by_role("button", name="Try the newer one again").click()
        wait_for_text(visit.page, "Newer page")
        until(visit.page, ONE_COPY)
        visit.reload()
        wait_for_text(visit.page, "Newer page")
        assert visit.page.evaluate(STATE)["refusal"] == ""


def test_a_first_visit_to_a_broken_build_is_said(
    visit: Visit, broken_site: tuple[Path, str]
) -> None:
    """With no version before it, a build that cannot be drawn is said, and no copy is kept."""
    with serving(broken_site[0]) as server:
        visit.page.goto(server.address)
        visit.page.get_by_text("The app did not start").wait_for()
        assert visit.page.evaluate(NO_COPY)


def test_a_damaged_copy_on_the_device_is_mended(visit: Visit, hosted: Path) -> None:
    """A kept file that went bad without a network ends in a clear page; once there is one its
    button puts it right."""
    with serving(hosted) as server:
        visit.keep(server.address)
        server.kill()
        visit.page.evaluate(
            """async () => {
                const cache = await caches.open('nutwright / ' + BUILD);
                const url = new URL('app.zip', document.baseURI).href;
                await cache.put(url, new Response('not an archive'));
            }"""
        )
        visit.page.reload()
        visit.page.get_by_text("The copy of the app on this device was altered").wait_for()
        assert "app.zip" in visit.page.inner_text("#notice")
        server.start()
        visit.page.get_by_role("button", name="mend it").click()
        wait_for_text(visit.page, "Plain page")


WHOLE = """async () => {
    const at = (path) => caches.match(new URL(path, document.baseURI));
    const listing = await at('precache.json');
    if (!listing) return false;
    const { files } = await listing.json();
    const here = files.filter(({ engine }) => !engine || engine === bench.engine);
    const copies = await Promise.all(here.map(({ path }) => at(path)));
    return here.length > 20 && copies.every(Boolean);
}"""


def test_a_copy_thrown_away_is_made_again(visit: Visit, hosted: Path) -> None:
    """A browser that cleared the copy and kept the worker gets a new copy at the next start."""
    with serving(hosted) as server:
        visit.keep(server.address)
        visit.page.evaluate("() => caches.delete('nutwright / ' + BUILD)")
        visit.reload()
        until(visit.page, WHOLE)
    visit.context.set_offline(True)
    visit.reload()
    wait_for_text(visit.page, "Plain page")


def test_a_copy_cleared_away_without_a_network_is_said(visit: Visit, hosted: Path) -> None:
    """With the copy gone and no network the page says so plainly, and leads back when one is."""
    with serving(hosted) as server:
        visit.keep(server.address)
        visit.page.evaluate("() => caches.delete('nutwright / ' + BUILD)")
        server.kill()
        visit.page.goto(server.address)
        visit.page.get_by_role("heading", name="The app is not on this device").wait_for()
        server.start()
        visit.page.get_by_role("link", name="Try again").click()
        wait_for_text(visit.page, "Plain page")
        until(visit.page, WHOLE)


def test_a_full_disk_leaves_the_app_running(visit: Visit, hosted: Path) -> None:
    """With no room for the copy the page still works, and says that it keeps none and why."""
    with serving(hosted) as server:
        session = visit.context.new_cdp_session(visit.page)
        origin = server.address.rstrip("/")
        session.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 1_000_000})
        visit.open(server.address)
        visit.page.wait_for_function("() => kept.state().refusal !== ''")
        assert visit.page.evaluate(STATE)["offline"] is False
        tap(visit.page, "Tap here")
        wait_for_text(visit.page, "1 taps")
        assert visit.page.evaluate(NO_COPY)


def test_a_full_disk_during_an_update_keeps_the_version_that_works(
    visit: Visit, hosted: Path, newer_site: Path
) -> None:
    """With no room for the newer build it is refused whole and said; the one before stays whole and
    starts without a network."""
    with serving(hosted) as server:
        visit.keep(server.address)
        before = visit.page.evaluate(STATE)["build"]
        session = visit.context.new_cdp_session(visit.page)
        used = visit.page.evaluate("async () => (await navigator.storage.estimate()).usage")
        quota = {"origin": server.address.rstrip("/"), "quotaSize": used + 2_000_000}
        session.send("Storage.overrideQuotaForOrigin", quota)
        _replace(hosted, newer_site)
        visit.page.evaluate("() => kept.look()")
        visit.page.wait_for_function("() => kept.state().refusal !== ''")
        assert visit.page.evaluate(STATE)["update"] is False
        until(visit.page, ONE_COPY)
    visit.context.set_offline(True)
    visit.reload()
    wait_for_text(visit.page, "Plain page")
    assert visit.page.evaluate(STATE)["build"] == before


def test_a_page_opened_as_a_file_says_how_to_serve_it(visit: Visit, hosted: Path) -> None:
    """Opened from a folder or a stick it cannot run: it says what to do, and nothing else."""
    visit.page.goto((hosted / "index.html").as_uri())
    visit.page.get_by_text("This page was opened as a file").wait_for()
    visit.page.wait_for_timeout(1000)
    assert "python -m mobile serve" in visit.page.inner_text("#notice")


def test_a_stick_that_cannot_be_written_is_served_like_a_folder(
    visit: Visit, plain_site: Path, tmp_path: Path
) -> None:
    """Served from a folder of another name that takes no writing, it is kept like any other."""
    stick = Path(shutil.copytree(plain_site, tmp_path / "STICK 1" / "bench site"))
    everything = sorted(stick.rglob("*"))
    for path in (stick, *everything):
        path.chmod(0o555 if path.is_dir() else 0o444)
    with serving(stick) as server:
        visit.keep(server.address)
    visit.context.set_offline(True)
    visit.reload()
    wait_for_text(visit.page, "Plain page")
    assert sorted(stick.rglob("*")) == everything


def test_two_sites_on_one_origin_leave_each_other_alone(visit: Visit, hosted: Path) -> None:
    """A site below a sub-path keeps its own copy; one that settles in beside it touches nothing."""
    with serving(hosted, "/one/") as server:
        visit.keep(server.address)
        server.kill()
        server.base = "/two/"
        server.start()
        visit.keep(server.address)
        visit.reload()
    visit.open(server.address.replace("/two/", "/one/"))
    wait_for_text(visit.page, "Plain page")


def test_plain_http_says_what_cannot_be_kept(visit: Visit, hosted: Path) -> None:
    """From another machine over plain http the page says so, and can still be looked at."""
    with serving(hosted) as server:
        visit.page.goto(server.address.replace("localhost", "shop.example"))
        visit.page.get_by_text("Nothing can be kept here").wait_for()
        visit.page.get_by_role("button", name="Look around").click()
        wait_for_text(visit.page, "Plain page")
        assert visit.page.evaluate("() => kept.state().offline") is False


def test_the_page_can_be_installed(visit: Visit, hosted: Path) -> None:
    """Chromium finds no reason against installing it."""
    with serving(hosted) as server:
        visit.open(server.address)
        session = visit.context.new_cdp_session(visit.page)
        errors = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
        found = [error["errorId"] for error in errors]
        assert [error for error in found if error != "in-incognito"] == []
        assert session.send("Page.getAppManifest")["errors"] == []


def _replace(host: Path, site: Path) -> None:
    shutil.rmtree(host)
    shutil.copytree(site, host)
