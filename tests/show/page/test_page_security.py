"""Who is answered, what a body may weigh, what the browser is told to refuse."""

import pytest

from lift.show.page.app import build_app
from lift.show.page.pairing import Pairing
from lift.show.page.security import MAX_BYTES, Hosts
from lift.show.page.serve import Place


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
    pairing = Pairing(clock=lambda: paired_clock[0])
    paired_clock = [0.0]
    hosts = Hosts((), any_address=True)
    return build_app(tmp_path, hosts=hosts, pairing=pairing), pairing, paired_clock


def code(text):
    return {"body": f"code={text}".encode()}


def test_a_device_must_be_paired(paired, open_browser):
    app, pairing, _ = paired
    phone = open_browser(app, "192.168.1.9")
    assert phone.get("/").status == 303
    assert phone.get("/").headers["location"] == "/pair"
    assert phone.get("/api/preview").status == 401
    assert phone.put("/api/visits/none-1", {"visit": {}, "revision": 1}).status == 401
    assert phone.get("/openapi.json").status == 401
    assert phone.get("/pair").status == 200
    assert phone.post("/pair", **code("00000000x")).status == 403
    assert phone.post("/pair", **code(f"{pairing.code[:4]}+{pairing.code[4:]}")).status == 303
    assert phone.get("/").status == 200
    assert phone.get("/api/preview").status == 200
    assert open_browser(app, "192.168.1.9").get("/api/preview").status == 401


def test_pairing_lasts_over_a_restart_and_the_old_code_does_not(tmp_path, open_browser):
    hosts = Hosts((), any_address=True)
    first, second = Pairing(), Pairing()
    phone = open_browser(build_app(tmp_path, hosts=hosts, pairing=first), "10.0.0.2")
    phone.post("/pair", **code(first.code))
    phone.app = build_app(tmp_path, hosts=hosts, pairing=second)
    assert phone.get("/").status == 200
    stranger = open_browser(phone.app, "10.0.0.2")
    assert stranger.post("/pair", **code(first.code)).status == 403


def test_guessing_is_stopped(paired, open_browser):
    app, pairing, clock = paired
    wrong = f"{(int(pairing.code) + 1) % 10**8:08d}"
    for _ in range(5):
        assert open_browser(app, "10.0.0.2").post("/pair", **code(wrong)).status == 403
    assert open_browser(app, "10.0.0.3").post("/pair", **code(pairing.code)).status == 429
    clock[0] = 61.0
    assert open_browser(app, "10.0.0.3").post("/pair", **code(pairing.code)).status == 303


def test_codes_differ_and_have_eight_digits():
    codes = {Pairing().code for _ in range(50)}
    assert len(codes) == 50
    assert all(len(c) == 8 and c.isdecimal() for c in codes)


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "::1", "127.1.2.3"])
def test_loopback_needs_no_pairing(host):
    assert Place(host).is_loopback


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.9", "salon", ""])
def test_any_other_host_does(host):
    assert not Place(host).is_loopback
