"""Each browser keeps its own, over a restart, and nobody else sees it."""

import os
import stat
from concurrent.futures import ThreadPoolExecutor

import pytest

from lift.errors import LiftError
from lift.show.page import devices as module
from lift.show.page.app import build_app
from lift.show.page.devices import DAY_SECONDS, LASTS_DAYS, UNUSED_DAYS, Devices
from lift.show.page.pairing import Pairing
from lift.show.page.sessions import Sessions


def app_of(data):
    return build_app(data, pairing=Pairing(data))


def pair(browser, data):
    return browser.post("/pair", f"code={Pairing(data).renew()}".encode())


def test_what_one_may_another_may_not(tmp_path, open_browser):
    app = app_of(tmp_path)
    one, two = open_browser(app), open_browser(app)
    assert pair(one, tmp_path).status == 303
    assert one.get("/api/stages").status == 200
    assert two.get("/api/stages").status == 401


def test_a_restart_loses_nothing(tmp_path, open_browser):
    one = open_browser(app_of(tmp_path))
    pair(one, tmp_path)
    one.app = app_of(tmp_path)
    reply = one.get("/api/stages")
    assert reply.status == 200
    assert not reply.cookies


def test_the_cookie_cannot_be_read_sent_elsewhere_or_made_up(tmp_path, open_browser):
    app = build_app(tmp_path)
    cookie = open_browser(app).get("/").cookies[0]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert "Secure" in open_browser(build_app(tmp_path, secure=True)).get("/").cookies[0]
    for made_up in ("lift=abc", "lift=" + "a" * 32 + "." + "0" * 64, "lift=../../etc; x=1", '"'):
        site = open_browser(app)
        site.cookie = made_up
        assert site.get("/healthz").cookies, made_up


def test_a_cookie_of_another_server_is_not_taken(tmp_path, open_browser):
    one = open_browser(app_of(tmp_path / "one"))
    pair(one, tmp_path / "one")
    one.app = app_of(tmp_path / "two")
    assert one.get("/api/stages").status == 401


def test_folders_do_not_tell_the_tokens(tmp_path):
    kept = Sessions(tmp_path)
    token = kept.new_token()
    kept.write(token, "state.json", b"{}")
    names = [p.name for p in tmp_path.rglob("*")]
    assert not any(token.split(".")[0] in name for name in names)
    assert stat.S_IMODE((tmp_path / "secret").stat().st_mode) == 0o600
    assert stat.S_IMODE(kept.folder_of(token).stat().st_mode) == 0o700


def test_reading_leaves_no_folder_behind(tmp_path, open_browser):
    open_browser(build_app(tmp_path)).get("/api/visits")
    assert list((tmp_path / "sessions").iterdir()) == []


def test_a_failed_write_leaves_what_was_there(tmp_path, monkeypatch):
    kept = Sessions(tmp_path)
    token = kept.new_token()
    kept.write(token, "state.json", b"old")

    def full(*args):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(LiftError, match="No space left"):
        kept.write(token, "state.json", b"new")
    assert (kept.folder_of(token) / "state.json").read_bytes() == b"old"
    assert [p.name for p in kept.folder_of(token).iterdir()] == ["state.json"]


def test_many_writers_leave_one_whole_file(tmp_path):
    kept = Sessions(tmp_path)
    token = kept.new_token()
    contents = [bytes([65 + i]) * 20_000 for i in range(12)]
    with ThreadPoolExecutor(6) as pool:
        list(pool.map(lambda c: kept.write(token, "state.json", c), contents))
    assert (kept.folder_of(token) / "state.json").read_bytes() in contents
    assert len(list(kept.folder_of(token).iterdir())) == 1


def test_a_pairing_ends_after_a_month_or_a_fortnight_without_use(tmp_path):
    clock = [1e9]
    devices = Devices(Sessions(tmp_path), clock=lambda: clock[0])
    kept, left = devices.pair("(kept)", "10.0.0.2"), devices.pair("(left)", "10.0.0.3")
    for _ in range(3):
        clock[0] += (UNUSED_DAYS - 4.5) * DAY_SECONDS
        assert devices.is_paired(kept)
    assert [d.name for d in devices.paired()] == ["kept"]
    assert not devices.is_paired(left)
    assert devices.paired()[0].used == clock[0]
    clock[0] += (LASTS_DAYS - 3 * (UNUSED_DAYS - 4.5)) * DAY_SECONDS
    assert not devices.is_paired(kept)
    assert devices.paired() == []
    assert list((tmp_path / "sessions").iterdir()) == []


def test_a_pairing_ends_when_asked(tmp_path):
    devices = Devices(Sessions(tmp_path))
    tokens = [devices.pair(f"Agent (Phone {i})", "10.0.0.2") for i in range(3)]
    with pytest.raises(LiftError, match="device"):
        devices.unpair("none")
    assert devices.unpair(devices.number_of(tokens[1])).name == "Phone 1"
    assert [devices.is_paired(token) for token in tokens] == [True, False, True]
    assert devices.unpair_all() == 2
    assert not any(map(devices.is_paired, tokens))


def test_what_is_no_pairing_of_today_is_none(tmp_path):
    sessions = Sessions(tmp_path)
    devices = Devices(sessions)
    for kept in (b"yes", b"{}", b"[1]", b'{"name": 1, "address": 2, "paired": "x"}', b"\xff"):
        token = sessions.new_token()
        sessions.write(token, "paired", kept)
        sessions.write(token, "records.sqlite", b"")
        assert not devices.is_paired(token)
    assert devices.paired() == []
    # What an older release kept beside it is still there.
    assert len(sessions.files("records.sqlite")) == 5
    assert sessions.files("paired") == []


def test_devices_are_listed_and_unpaired_on_the_page(tmp_path, open_browser):
    app = app_of(tmp_path)
    one, two = open_browser(app), open_browser(app)
    one.address = "10.0.0.7"
    for browser in (one, two):
        assert pair(browser, tmp_path).status == 303
    assert one.get("/devices").body.count(b"<form") == 2
    own = Devices(Sessions(tmp_path)).number_of(one.cookie.partition("=")[2])
    assert f"Device {own}" in one.get("/devices").body.decode()
    assert "at 10.0.0.7" in one.get("/devices").body.decode()
    assert two.post("/devices", f"number={own}".encode()).status == 303
    assert one.get("/api/stages").status == 401
    assert two.get("/devices").body.count(b"<form") == 1
    assert two.post("/devices", b"number=none").status == 422


def test_served_to_this_machine_alone_says_so_and_has_no_device(browser):
    text = browser.get("/devices").body.decode()
    assert "this machine alone" in text
    assert "No device is paired" in text


def test_what_a_device_calls_itself_cannot_break_the_list(tmp_path, open_browser):
    one = open_browser(app_of(tmp_path))
    body = f"code={Pairing(tmp_path).renew()}".encode()
    agent = "(<script>\x1b[2J" + "x" * 500
    assert one.post("/pair", body, headers={"user-agent": agent}).status == 303
    text = one.get("/devices").body.decode()
    assert "&lt;script&gt;[2J" in text
    assert "x" * 60 not in text


def test_devices_are_listed_and_unpaired_at_the_keyboard(tmp_path, answered, refused):
    at = ("--data", tmp_path)
    assert "No device" in answered("page", "devices", *at)
    digits = "".join(c for c in answered("page", "code", *at).partition("(")[0] if c.isdecimal())
    assert digits == Pairing(tmp_path).code
    devices = Devices(Sessions(tmp_path))
    one, two = (devices.pair("(Phone)", "10.0.0.2") for _ in range(2))
    assert devices.number_of(one) in answered("page", "devices", *at)
    assert "1 device" in answered("page", "unpair", devices.number_of(one), *at)
    assert not devices.is_paired(one)
    assert devices.number_of(two) in refused("page", "unpair", "none", *at)
    assert "1 device" in answered("page", "unpair", "all", *at)
    assert devices.paired() == []


def test_no_room_is_told(tmp_path, open_browser, monkeypatch):
    monkeypatch.setattr(module, "MOST", 1)
    app = app_of(tmp_path)
    assert pair(open_browser(app), tmp_path).status == 303
    reply = pair(open_browser(app), tmp_path)
    assert reply.status == 507
    assert "no room" in reply.errors[""]


def test_visiting_leaves_nothing_behind_so_that_nobody_can_fill_the_room(tmp_path, open_browser):
    app = app_of(tmp_path)
    for _ in range(30):
        assert open_browser(app).get("/pair").cookies
    assert list((tmp_path / "sessions").iterdir()) == []


def test_a_data_folder_that_cannot_be_used(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(LiftError, match="cannot use data folder"):
        Sessions(tmp_path / "file")
