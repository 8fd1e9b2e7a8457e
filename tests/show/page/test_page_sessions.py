"""Each browser keeps its own, over a restart, and nobody else sees it."""

import os
import stat
from concurrent.futures import ThreadPoolExecutor

import pytest

from lift.errors import LiftError
from lift.show.page import sessions as module
from lift.show.page.app import build_app
from lift.show.page.pairing import Pairing
from lift.show.page.sessions import FullError, Sessions

PAIRING = Pairing()
TYPED = f"code={PAIRING.code}".encode()


def app_of(data):
    return build_app(data, pairing=PAIRING)


def test_what_one_may_another_may_not(tmp_path, open_browser):
    app = app_of(tmp_path)
    one, two = open_browser(app), open_browser(app)
    assert one.post("/pair", TYPED).status == 303
    assert one.get("/api/stages").status == 200
    assert two.get("/api/stages").status == 401


def test_a_restart_loses_nothing(tmp_path, open_browser):
    one = open_browser(app_of(tmp_path))
    one.post("/pair", TYPED)
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
    one.post("/pair", TYPED)
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
    assert kept.read(token, "state.json") == b"old"
    assert [p.name for p in kept.folder_of(token).iterdir()] == ["state.json"]


def test_many_writers_leave_one_whole_file(tmp_path):
    kept = Sessions(tmp_path)
    token = kept.new_token()
    contents = [bytes([65 + i]) * 20_000 for i in range(12)]
    with ThreadPoolExecutor(6) as pool:
        list(pool.map(lambda c: kept.write(token, "state.json", c), contents))
    assert kept.read(token, "state.json") in contents
    assert len(list(kept.folder_of(token).iterdir())) == 1


def test_room_is_bounded(tmp_path, monkeypatch):
    monkeypatch.setattr(module, "MAX_SESSIONS", 2)
    kept = Sessions(tmp_path)
    one, two, three = (kept.new_token() for _ in range(3))
    for token in (one, two, one):
        kept.write(token, "a", b"")
    with pytest.raises(FullError, match="2 sessions"):
        kept.write(three, "a", b"")


def test_no_room_is_told(tmp_path, open_browser, monkeypatch):
    monkeypatch.setattr(module, "MAX_SESSIONS", 0)
    reply = open_browser(app_of(tmp_path)).post("/pair", TYPED)
    assert reply.status == 507
    assert "no room" in reply.errors[""]


def test_a_data_folder_that_cannot_be_used(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(LiftError, match="cannot use data folder"):
        Sessions(tmp_path / "file")
