"""A page with one worker that runs Python of a test, in the app's own Pyodide and packages.

The worker is of the same kind as the app's, so what holds here about storage holds there.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page

from tests.browser.harness import COMPILED_ONCE, FLAGS, PATIENCE_MS

PAGE = """<!doctype html><title>worker</title><script>
const worker = new Worker("bench-worker.js", { type: "module" });
const waiting = new Map();
let asked = 0;
window.said = 0;
worker.onmessage = ({ data: { id, value, error, say } }) => {
  if (say !== undefined) { window.said = say; return; }
  const { resolve, reject } = waiting.get(id);
  waiting.delete(id);
  error === undefined ? resolve(value) : reject(new Error(error));
};
window.run = (code) => new Promise((resolve, reject) => {
  const id = ++asked;
  waiting.set(id, { resolve, reject });
  worker.postMessage({ id, code });
});
</script>"""
WORKER = """
import { loadPyodide } from "./pyodide/pyodide.mjs";
const ready = (async () => {
  const pyodide = await loadPyodide();
  const bytes = async (name) => (await fetch(name)).arrayBuffer();
  for (const name of ["app.zip", "rest.zip"]) {
    pyodide.unpackArchive(await bytes(name), "zip", { extractDir: "/app" });
  }
  for (const name of PACKAGES) {
    pyodide.FS.writeFile(`/${name}`, new Uint8Array(await bytes(name)));
  }
  pyodide.FS.writeFile("/app/store_contract.py", new Uint8Array(await bytes("contract.txt")));
  pyodide.globals.set("packages", PACKAGES.map((name) => `/${name}`));
  await pyodide.runPythonAsync("import sys; sys.path[:0] = ['/app', *packages]");
  return pyodide;
})();
self.onmessage = async ({ data: { id, code } }) => {
  try {
    const pyodide = await ready;
    const value = await pyodide.runPythonAsync(code);
    self.postMessage({ id, value });
  } catch (error) {
    self.postMessage({ id, error: String(error) });
  }
};
"""
CONTRACT = Path(__file__).parent.parent / "logic" / "history" / "store_contract.py"


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing."""


def furnish(site: Path, folder: Path) -> Path:
    """A folder that holds the built `site` and the worker page beside it."""
    folder.mkdir(parents=True, exist_ok=True)
    for entry in site.iterdir():
        (folder / entry.name).symlink_to(entry)
    (folder / "bench.html").write_text(PAGE)
    packages = ["packages.zip"]
    (folder / "bench-worker.js").write_text(f"const PACKAGES = {json.dumps(packages)};{WORKER}")
    (folder / "contract.txt").write_text(CONTRACT.read_text(encoding="utf-8"))
    return folder


@contextmanager
def served(folder: Path, host: str = "127.0.0.1") -> Iterator[str]:
    """Serve `folder` on this machine; its address."""
    server = ThreadingHTTPServer((host, 0), partial(_Quiet, directory=str(folder)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://{host}:{server.server_address[1]}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def run(page: Page, code: str) -> str:
    """What `code` comes to in the page's worker."""
    return str(page.evaluate("code => run(code)", code))


@contextmanager
def killable(browser: Browser, profile: Path) -> Iterator[tuple[Page, subprocess.Popen[bytes]]]:
    """A Chromium of our own on a lasting profile, to be killed as a phone kills one."""
    profile.mkdir(exist_ok=True)
    (profile / "DevToolsActivePort").unlink(missing_ok=True)
    program = shutil.which("chromium")
    assert program
    words = [program, *FLAGS, COMPILED_ONCE, "--headless=new", "--remote-debugging-port=0"]
    process = subprocess.Popen(
        [*words, f"--user-data-dir={profile}", "about:blank"],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        port = _port(profile / "DevToolsActivePort")
        own = browser.browser_type.connect_over_cdp(f"http://127.0.0.1:{port}")
        page = own.contexts[0].new_page()
        page.set_default_timeout(PATIENCE_MS)
        yield page, process
    finally:
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()


def _port(file: Path) -> str:
    for _ in range(300):
        if file.exists() and (text := file.read_text()):
            return text.split()[0]
        time.sleep(0.1)
    raise AssertionError("Chromium did not open its port")
