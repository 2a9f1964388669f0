"""The server of `python -m mobile`: right types, nothing outside the folder, honest misses."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from http.client import HTTPConnection, HTTPResponse

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mobile.publish.serve import server

SECRET = "not for the network"


@pytest.fixture(scope="module")
def port(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    """A small site under /shop/, and a file beside it that must stay private."""
    folder = tmp_path_factory.mktemp("served")
    (folder / "secret.txt").write_text(SECRET)
    site = folder / "site"
    (site / "deep").mkdir(parents=True)
    (site / "index.html").write_text("<p>bench</p>")
    (site / "deep" / "a.mjs").write_text("export {}")
    (site / "b.wasm").write_bytes(b"\0asm plain")
    (site / "b.wasm.gz").write_bytes(b"\0asm gz")
    (site / "b.wasm.br").write_bytes(b"\0asm br")
    (site / "sw.js").write_text("// ours")
    (site / "link").symlink_to(folder / "secret.txt")
    with server(site, base="/shop/") as served:
        threading.Thread(target=served.serve_forever, daemon=True).start()
        yield served.server_port
        served.shutdown()


def ask(
    port: int, path: str, method: str = "GET", accept: str = "", known: str = ""
) -> tuple[HTTPResponse, bytes]:
    """The response to one request, and its body."""
    connection = HTTPConnection("127.0.0.1", port, timeout=10)
    try:
        connection.putrequest(method, path, skip_accept_encoding=True)
        if accept:
            connection.putheader("Accept-Encoding", accept)
        if known:
            connection.putheader("If-None-Match", known)
        connection.endheaders()
        response = connection.getresponse()
        return response, response.read()
    finally:
        connection.close()


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/shop/", "text/html; charset=utf-8"),
        ("/shop/index.html?x=1", "text/html; charset=utf-8"),
        ("/shop/deep/a.mjs", "text/javascript; charset=utf-8"),
        ("/shop/b.wasm", "application/wasm"),
    ],
)
def test_each_file_has_the_type_browsers_insist_on(port: int, path: str, kind: str) -> None:
    """Module scripts and streamed WebAssembly run only under their own type (WHATWG HTML, Wasm)."""
    response, _ = ask(port, path)
    assert response.status == 200
    assert response.getheader("Content-Type") == kind


@pytest.mark.parametrize(
    ("accept", "encoding", "body"),
    [("gzip, br", "br", b"\0asm br"), ("gzip", "gzip", b"\0asm gz"), ("", None, b"\0asm plain")],
)
def test_the_best_accepted_encoding_is_sent(
    port: int, accept: str, encoding: str | None, body: bytes
) -> None:
    """A compressed copy goes only to those who say that they take it (RFC 9110, section 12.5.3)."""
    response, sent = ask(port, "/shop/b.wasm", accept=accept)
    assert (response.getheader("Content-Encoding"), sent) == (encoding, body)
    assert response.getheader("Vary") == "Accept-Encoding"


def test_an_encoding_ruled_out_is_not_sent(port: int) -> None:
    """`br;q=0` means not br (RFC 9110, section 12.4.2)."""
    response, _ = ask(port, "/shop/b.wasm", accept="br;q=0, gzip")
    assert response.getheader("Content-Encoding") == "gzip"


@pytest.mark.parametrize(
    "path",
    ["/shop/none.js", "/", "/other/index.html", "/shop/deep", "/shop/link", "/shop/../secret.txt"],
)
def test_a_miss_is_a_miss(port: int, path: str) -> None:
    """What is not in the site is 404, never the index page and never a file outside."""
    response, body = ask(port, path)
    assert response.status == 404
    assert SECRET.encode() not in body


@settings(max_examples=60, deadline=None)
@given(
    parts=st.lists(st.sampled_from(["..", ".", "", "%2e%2e", "secret.txt", "%2f", "%00", "deep"]))
)
def test_no_path_leaves_the_folder(port: int, parts: list[str]) -> None:
    """However the path is spelt, the file beside the site is never sent."""
    _, body = ask(port, "/shop/" + "/".join(parts))
    assert SECRET.encode() not in body


def test_what_has_not_changed_is_not_sent_again(port: int) -> None:
    """A browser that names the tag it has gets 304 and no body (RFC 9110, section 13.1.2)."""
    first, _ = ask(port, "/shop/b.wasm", accept="br")
    again, body = ask(port, "/shop/b.wasm", accept="br", known=str(first.getheader("ETag")))
    assert (again.status, body) == (304, b"")
    other, body = ask(port, "/shop/b.wasm", accept="gzip", known=str(first.getheader("ETag")))
    assert (other.status, body) == (200, b"\0asm gz")


def test_head_says_what_get_would(port: int) -> None:
    """HEAD has GET's headers and no body (RFC 9110, section 9.3.2)."""
    head, nothing = ask(port, "/shop/", "HEAD")
    get, body = ask(port, "/shop/")
    assert nothing == b""
    assert head.getheader("Content-Length") == get.getheader("Content-Length") == str(len(body))


def test_the_base_without_its_slash_leads_there(port: int) -> None:
    """/shop goes to /shop/, so that relative addresses resolve."""
    response, _ = ask(port, "/shop")
    assert (response.status, response.getheader("Location")) == (301, "/shop/")


def test_a_worker_of_somebody_elses_is_succeeded_by_ours(port: int) -> None:
    """A browser asks for a worker with the header `Service-Worker: script` (W3C, Service Workers):
    where nothing lies it gets ours. Whoever asks for a file there is told that there is none."""
    connection = HTTPConnection("127.0.0.1", port, timeout=10)
    connection.request("GET", "/shop/other/worker.js", headers={"Service-Worker": "script"})
    response = connection.getresponse()
    assert (response.status, response.read()) == (200, b"// ours")
    assert response.getheader("Content-Type") == "text/javascript; charset=utf-8"
    connection.close()
    assert ask(port, "/shop/other/worker.js")[0].status == 404
