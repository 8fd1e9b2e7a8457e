"""The page comes in one go over a slow link, is kept in its version, and opens without a server."""

import gzip
import re
import socket
import time

import pytest

from lift.show.page.shell import FIRST, STATIC, Shell, files, later, modules

LATENCY_MS = 400
SLOW = {"offline": False, "latency": LATENCY_MS, "downloadThroughput": 50_000}
"""400 kbit/s."""


def test_whatever_a_script_imports_is_found():
    listed = modules(FIRST) + later()
    assert len(listed) == len(set(listed)) > 5
    assert "hair.js" in later()
    for name in listed:
        text = (STATIC / name).read_text("utf-8")
        named = re.findall(r"[\"']\./([\w.-]+\.js)[\"']", text)
        assert set(named) <= set(listed), name


def version(browser):
    return browser.get("/shell.json").json["version"]


def test_a_file_of_this_version_is_kept_for_good_and_no_other(browser):
    kept = browser.get(f"/static/{version(browser)}/style.css").headers["cache-control"]
    assert "immutable" in kept
    assert "public" in kept
    for path in ("/static/style.css", "/static/ask.js", "/static/0123456789ab/ask.js"):
        reply = browser.get(path)
        assert (reply.status, reply.headers["cache-control"]) == (200, "no-cache")
    assert browser.get(f"/static/{version(browser)}/none.css").status == 404
    assert browser.get(f"/static/{version(browser)}/../../app.py").status == 404


def test_what_is_large_is_sent_small(browser):
    plain, small = (
        browser.get("/", headers={"accept-encoding": kind}) for kind in ("identity", "gzip")
    )
    assert small.headers["content-encoding"] == "gzip"
    assert gzip.decompress(small.body) == plain.body
    assert len(small.body) < 0.4 * len(plain.body)
    assert "content-encoding" not in browser.get("/healthz").headers


def test_another_word_is_another_version():
    one, two = (Shell(lambda version, text=text: text + version) for text in ("a", "b"))
    assert one.version == Shell(lambda version: "a" + version).version != two.version
    assert one.page == "a" + one.version
    assert one.version in one.worker
    assert set(one.addresses) == {"/", *(f"/static/{one.version}/{name}" for name in files())}


def test_over_a_slow_link_nothing_waits_for_its_turn(served, visit):
    visitor = visit(served.url, "phone")
    page = visitor.page
    link = visitor.context.new_cdp_session(page)
    link.send("Network.enable")
    link.send("Network.emulateNetworkConditions", {**SLOW, "uploadThroughput": 50_000})
    page.goto(served.url)
    page.wait_for_selector("html[data-ready]", state="attached")
    page.wait_for_selector("#visits-demo li")
    rows = page.evaluate(
        "performance.getEntriesByType('resource').map(r => [new URL(r.name).pathname, r.startTime])"
    )
    asked = {path.rpartition("/")[2]: at for path, at in rows if path.endswith((".js", "/visits"))}
    asked.pop("sw.js", None)
    assert set(asked) == {*modules(), *later(), "visits"}
    # Had one to be read before the next is known, there would be a way to and fro between them.
    assert max(asked.values()) - min(asked.values()) < LATENCY_MS
    assert [path for path, _ in rows].count("/api/visits") == 1


@pytest.fixture
def kept(tmp_path, serve, visit):
    """A page that was opened once, and whose server is gone."""
    site = serve(tmp_path / "data")
    visitor = visit(site.url, "phone")
    visitor.page.goto(site.url)
    visitor.page.wait_for_selector("#visits-demo li")
    visitor.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    visitor.page.wait_for_function("navigator.serviceWorker.controller !== null")
    site.stop()
    return site, visitor.page


def opened(page):
    start = time.monotonic()
    page.reload()
    page.wait_for_selector("#visits-demo li")
    return time.monotonic() - start


def test_without_a_server_the_page_opens_from_its_copy_at_once(kept):
    _, page = kept
    assert opened(page) < 5.0


def test_a_server_that_never_answers_is_not_waited_for(kept):
    site, page = kept
    with socket.create_server(("127.0.0.1", site.port)):
        assert opened(page) < 6.0
