"""Who is answered, what a body may weigh, what the browser is told to refuse."""

import asyncio
import stat

import pytest

from lift.show.page import pairing as module
from lift.show.page.app import build_app
from lift.show.page.pairing import (
    CODE_MINUTES,
    DIGITS,
    LONGEST_WAIT_SECONDS,
    Pairing,
    grouped,
)
from lift.show.page.security import MAX_BYTES, Hosts
from lift.show.page.serve import Place
from lift.show.page.turns import BusyError, Turns


@pytest.mark.parametrize(
    "host", ["127.0.0.1:8181", "localhost:8181", "[::1]:8181", "LOCALHOST", "127.0.0.1"]
)
def test_loopback_names_are_answered(shared_app, open_browser, host):
    assert open_browser(shared_app, host).get("/api/visits").status == 200


@pytest.mark.parametrize(
    "host",
    ["evil.example", "127.0.0.1.evil.example", "localhost.evil.example:8181", "192.168.1.9", ""],
)
def test_other_names_are_refused(shared_app, open_browser, host):
    assert open_browser(shared_app, host).get("/").status == 421


def test_an_address_written_out_is_answered_when_served_to_others(tmp_path, open_browser):
    app = build_app(tmp_path, hosts=Hosts(("salon",), any_address=True))
    for host, status in (("192.168.1.9:8181", 200), ("salon", 200), ("evil.example", 421)):
        assert open_browser(app, host).get("/healthz").status == status


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "https://127.0.0.1:8181"},
        {"origin": "http://127.0.0.1:9999"},
        {"origin": None},
        {"origin": None, "sec-fetch-site": "cross-site"},
        {"origin": None, "sec-fetch-site": "same-site"},
    ],
)
def test_changes_are_taken_from_the_page_alone(browser, headers):
    reply = browser.put("/api/visits/none-1", {"visit": {}, "revision": 1}, headers=headers)
    assert reply.status == 403


def test_reading_by_another_site_is_refused_but_a_link_may_open_the_page(browser):
    other = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors"}
    assert browser.get("/api/preview", headers=other).status == 403
    assert browser.get("/", headers=other).status == 403
    link = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate"}
    assert browser.get("/", headers=link).status == 200
    assert browser.get("/api/visits", headers=link).status == 403


def test_every_reply_forbids_what_the_page_does_not_need(browser):
    for path in (
        "/",
        "/api/preview",
        "/api/preview?level=x",
        "/static/icon.svg",
        "/sw.js",
        "/none",
        "/pair",
    ):
        headers = browser.get(path).headers
        policy = dict(p.split(" ", 1) for p in headers["content-security-policy"].split("; "))
        assert policy["default-src"] == "'none'"
        assert policy["script-src"] == policy["style-src"] == "'self'"
        assert policy["frame-ancestors"] == policy["base-uri"] == "'none'"
        assert policy["require-trusted-types-for"] == "'script'"
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "same-origin"
        assert headers["cross-origin-resource-policy"] == "same-origin"


def test_the_page_has_nothing_inline_and_asks_nobody_else(browser):
    text = browser.get("/").body.decode()
    assert "<style" not in text
    assert " style=" not in text
    assert " on" + "click" not in text
    assert "http://" not in text.replace("http://www.w3.org/", "")
    assert "https://" not in text
    scripts = [part.split(">", 1) for part in text.split("<script")[1:]]
    assert scripts
    assert all("src=" in head and rest.startswith("</script>") for head, rest in scripts)


def test_a_body_that_says_it_is_too_large(browser):
    reply = browser.put("/api/visits/none-1", b"{}", headers={"content-length": str(MAX_BYTES + 1)})
    assert reply.status == 413


def test_a_body_that_turns_out_too_large(browser):
    chunks = [b'{"visit":{"a":"'] + [b"x" * 10_000] * 7 + [b'"}}']
    headers = {"content-type": "application/json"}
    assert browser.call("PUT", "/api/visits/none-1", headers=headers, chunks=chunks).status == 413


@pytest.mark.parametrize("length", ["-5", "ten", "1e3"])
def test_a_length_that_is_no_length(browser, length):
    reply = browser.put("/api/visits/none-1", b"{}", headers={"content-length": length})
    assert reply.status == 413


def test_a_query_that_is_too_long(browser):
    assert browser.get("/api/preview?goal=" + "8" * 5000).status == 414


@pytest.mark.parametrize(
    ("body", "kind", "status"),
    [
        (b"{", "application/json", 400),
        (b'{"visit":{"a":NaN}}', "application/json", 400),
        (b"[" * 30_000, "application/json", 422),
        (b'{"visit":' + b'{"a":' * 9_000, "application/json", 400),
        (b'{"visit":{"a":' + b"[" * 60_000, "application/json", 400),
        (b'{"visit":{"a":1e999}}', "application/json", 422),
        (b'{"visit":{"a":-Infinity}}', "application/json", 400),
        (b'{"visit":{"a":' + b"9" * 5_000 + b"}}", "application/json", 422),
        (b'{"visit":{"a":"\\ud800"}}', "application/json", 400),
        (b'{"visit":{"a":"\xff"}}', "application/json", 400),
        (b"[]", "application/json", 422),
        (b"{}", "application/json", 422),
        (b'{"visit":[]}', "application/json", 422),
        (b'{"visit":{},"more":1}', "application/json", 422),
        (b"visit=1", "application/x-www-form-urlencoded", 415),
        (b'{"visit":{}}', "text/plain", 415),
    ],
)
def test_a_body_that_cannot_be_accepted(browser, body, kind, status):
    reply = browser.put("/api/visits/none-1", body, headers={"content-type": kind})
    assert reply.status == status
    assert reply.json["errors"][0]["message"]


def test_paths_cannot_leave_the_static_folder(browser):
    for path in ("/static/../app.py", "/static/%2e%2e/app.py", "/static//etc/passwd"):
        assert browser.get(path).status == 404


@pytest.fixture
def paired(tmp_path):
    clock = [1e9]
    pairing = Pairing(tmp_path, clock=lambda: clock[0])
    pairing.renew()
    return build_app(tmp_path, hosts=Hosts((), any_address=True), pairing=pairing), pairing, clock


def code(text):
    return {"body": f"code={text}".encode()}


def wrong(pairing):
    return code(f"{(int(pairing.code) + 1) % 10**DIGITS:0{DIGITS}d}")


def test_a_device_must_be_paired(paired, open_browser):
    app, pairing, _ = paired
    phone = open_browser(app, "192.168.1.9")
    assert phone.get("/").status == 303
    assert phone.get("/").headers["location"] == "/pair"
    assert phone.get("/api/preview").status == 401
    assert phone.put("/api/visits/none-1", {"visit": {}, "revision": 1}).status == 401
    assert phone.get("/openapi.json").status == 401
    assert phone.get("/devices").headers["location"] == "/pair"
    assert phone.post("/devices", b"number=00000000").status == 401
    assert phone.get("/pair").status == 200
    assert phone.post("/pair", **code("00000000x")).status == 403
    assert phone.post("/pair", **code(grouped(pairing.code).replace(" ", "+"))).status == 303
    assert phone.get("/").status == 200
    assert phone.get("/api/preview").status == 200
    assert open_browser(app, "192.168.1.9").get("/api/preview").status == 401


def test_pairing_lasts_over_a_restart_and_the_old_code_does_not(paired, tmp_path, open_browser):
    app, pairing, _ = paired
    first = code(pairing.code)
    phone = open_browser(app, "10.0.0.2")
    phone.post("/pair", **first)
    pairing.renew()
    phone.app = build_app(tmp_path, hosts=Hosts((), any_address=True), pairing=pairing)
    assert phone.get("/").status == 200
    assert open_browser(phone.app, "10.0.0.2").post("/pair", **first).status == 403


def test_pairing_takes_another_cookie_than_one_that_was_planted(paired, open_browser):
    app, pairing, _ = paired
    stranger, phone = open_browser(app, "10.0.0.2"), open_browser(app, "10.0.0.2")
    stranger.get("/pair")
    phone.cookie = stranger.cookie
    phone.post("/pair", **code(pairing.code))
    assert phone.get("/api/stages").status == 200
    assert stranger.get("/api/stages").status == 401


def test_a_stranger_who_guesses_waits_longer_each_time_and_keeps_nobody_out(paired, open_browser):
    app, pairing, clock = paired
    stranger, owner = open_browser(app, "10.0.0.2"), open_browser(app, "10.0.0.2")
    stranger.address = "10.0.0.66"
    assert [stranger.post("/pair", **wrong(pairing)).status for _ in range(3)] == [403] * 3
    for wait in (2, 4, 8, 16):
        clock[0] += wait - 0.1
        told = stranger.post("/pair", **code(pairing.code))
        assert told.status == 429
        assert b"wait 1 seconds" in told.body
        clock[0] += 0.2
        assert stranger.post("/pair", **wrong(pairing)).status == 403
    assert owner.post("/pair", **code(pairing.code)).status == 303
    assert owner.get("/api/stages").status == 200
    # Whoever shares the stranger's address has another code printed, which ends the wait.
    neighbour = open_browser(app, "10.0.0.2")
    neighbour.address = stranger.address
    assert neighbour.post("/pair", **code(pairing.code)).status == 429
    pairing.renew()
    assert neighbour.post("/pair", **code(pairing.code)).status == 303


def test_a_wait_has_an_end_and_counts_do_not_fill_the_memory(tmp_path, monkeypatch):
    clock = [1e9]
    pairing = Pairing(tmp_path, clock=lambda: clock[0])
    for _ in range(40):
        pairing.accepts("1", "a")
        clock[0] += LONGEST_WAIT_SECONDS + 1
    assert not pairing.accepts("1", "a")
    assert pairing.wait_seconds("a") == LONGEST_WAIT_SECONDS
    clock[0] -= 1e6
    assert pairing.wait_seconds("a") == LONGEST_WAIT_SECONDS
    monkeypatch.setattr(module, "MOST_ADDRESSES", 3)
    for address in "bcde":
        pairing.accepts("1", address)
    assert pairing.wait_seconds("a") == 0.0


def test_a_code_runs_out(paired, open_browser):
    app, pairing, clock = paired
    old = code(pairing.code)
    clock[0] += 60 * CODE_MINUTES + 1
    told = open_browser(app, "10.0.0.2").post("/pair", **old)
    assert told.status == 403
    assert b"lift page code" in told.body
    assert open_browser(app, "10.0.0.2").post("/pair", **code("")).status == 403


def test_codes_differ_have_twelve_digits_and_only_their_owner_reads_them(tmp_path):
    pairing = Pairing(tmp_path)
    assert pairing.code is None
    codes = {pairing.renew() for _ in range(20)}
    assert len(codes) == 20
    assert all(len(c) == DIGITS and c.isdecimal() for c in codes)
    assert pairing.code in codes
    assert stat.S_IMODE((tmp_path / module.FILE).stat().st_mode) == 0o600
    for broken in ("", "[]", "{}", '{"code": 1, "made": "x"}'):
        (tmp_path / module.FILE).write_text(broken)
        assert pairing.code is None


def test_what_plain_http_means_is_said_where_the_code_is_typed(paired, open_browser):
    phone = open_browser(paired[0], "10.0.0.2")
    assert b"not encrypted" in phone.get("/pair").body
    assert b"not encrypted" not in phone.get("/pair", scheme="https").body


def test_one_who_asks_too_much_waits_and_nobody_else(run):
    async def ask():
        turns, gate, done = Turns(at_once=2, most_waiting=3), asyncio.Event(), []

        async def one(asker):
            async with turns.of(asker):
                if asker == "crowd":
                    await gate.wait()
                done.append(asker)

        crowd = [asyncio.create_task(one("crowd")) for _ in range(5)]
        await asyncio.sleep(0)
        with pytest.raises(BusyError, match="ask again"):
            await one("crowd")
        await one("phone")
        assert done == ["phone"]
        gate.set()
        await asyncio.gather(*crowd)
        assert len(done) == 6
        await one("crowd")

    run(ask())


def test_too_much_at_once_is_told(paired, open_browser, monkeypatch):
    monkeypatch.setattr(Turns, "of", Turns(at_once=0, most_waiting=0).of)
    reply = open_browser(paired[0], "10.0.0.2").get("/pair")
    assert reply.status == 503
    assert "ask again" in reply.errors[""]


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "::1", "127.1.2.3"])
def test_loopback_needs_no_pairing(host):
    assert Place(host).is_loopback


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.9", "salon", ""])
def test_any_other_host_does(host):
    assert not Place(host).is_loopback
