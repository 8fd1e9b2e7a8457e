"""Files are read whole and written whole, and every refusal is one line."""

import multiprocessing
import os
import stat

import pytest

from lift.errors import LiftError
from lift.files import parse_json, parse_toml, read_bytes, read_whole, write_whole

WHAT = "file.curve_set"


def refused(call, *arguments, match=""):
    with pytest.raises(LiftError, match=match) as caught:
        call(*arguments)
    said = str(caught.value)
    assert "\n" not in said
    assert len(said) <= 300


# Writing.


@pytest.mark.parametrize("content", ["höher\r\n", b"\x00\xff", ""])
def test_what_is_written_is_what_is_read(tmp_path, content):
    path = tmp_path / "a"
    path.write_bytes(b"older")
    write_whole(path, content, WHAT)
    read = read_whole if isinstance(content, str) else read_bytes
    assert read(path, 100, WHAT) == content
    assert [p.name for p in tmp_path.iterdir()] == ["a"]


def test_a_private_file_is_its_owners_alone(tmp_path):
    write_whole(tmp_path / "mine", "", WHAT, private=True)
    assert stat.S_IMODE((tmp_path / "mine").stat().st_mode) == 0o600


def test_nothing_is_left_when_writing_fails(tmp_path, monkeypatch):
    (tmp_path / "folder").mkdir()
    refused(write_whole, tmp_path / "folder", "x", WHAT, match="cannot write curve set .*folder")
    refused(write_whole, tmp_path / "no" / "such", "x", WHAT, match="No such file")
    refused(write_whole, f"{tmp_path}/nul\0", "x", WHAT, match="no file can have such a name")
    refused(write_whole, tmp_path / "half", "\udc80", WHAT, match="not UTF-8")
    refused(write_whole, tmp_path / ("n" * 300), "x", WHAT, match="cannot write")

    def full(*_):
        raise OSError(28, "No space left")

    monkeypatch.setattr(os, "fsync", full)
    refused(write_whole, tmp_path / "full", "x", WHAT, match="No space left")
    assert [p.name for p in tmp_path.iterdir()] == ["folder"]


def test_a_break_leaves_the_older_file(tmp_path, monkeypatch):
    path = tmp_path / "a"
    path.write_text("older")

    def stop(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", stop)
    with pytest.raises(KeyboardInterrupt):
        write_whole(path, "newer", WHAT)
    assert [(p.name, p.read_text()) for p in tmp_path.iterdir()] == [("a", "older")]


def test_a_planted_link_is_not_followed(tmp_path, monkeypatch):
    """Neither at the place, which is replaced, nor beside it, where no name can be foreseen."""
    (tmp_path / "precious").write_text("precious")
    for name in ("mine", ".mine.part", f".{'00' * 8}.part"):
        (tmp_path / name).symlink_to("precious")
    write_whole(tmp_path / "mine", "mine", WHAT)
    monkeypatch.setattr("secrets.token_hex", lambda n: "00" * n)
    refused(write_whole, tmp_path / "mine", "newer", WHAT, match="File exists")
    assert (tmp_path / "precious").read_text() == "precious"
    assert (tmp_path / "mine").read_text() == "mine"


def test_a_device_is_not_replaced(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    refused(write_whole, tmp_path / "pipe", "x", WHAT, match="not a regular file")
    assert stat.S_ISFIFO((tmp_path / "pipe").stat().st_mode)


def many(path, text):
    for _ in range(40):
        write_whole(path, text, WHAT)


def test_writers_at_once_do_not_meet(tmp_path):
    path = tmp_path / "a"
    texts = {c * 100_000 for c in "abcd"}
    context = multiprocessing.get_context("fork")
    writers = [context.Process(target=many, args=(path, text)) for text in texts]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert [writer.exitcode for writer in writers] == [0, 0, 0, 0]
    assert path.read_text() in texts
    assert [p.name for p in tmp_path.iterdir()] == ["a"]


# Reading.


def test_a_byte_order_mark_is_no_content(tmp_path):
    (tmp_path / "a").write_bytes(b"\xef\xbb\xbfx = 1")
    assert read_whole(tmp_path / "a", 100, WHAT) == "x = 1"
    assert parse_toml("\ufeffx = 1", WHAT, "a") == {"x": 1}
    assert parse_json("\ufeff[1]", WHAT, "a") == [1]


def test_what_cannot_be_read_is_said_in_one_line(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "bytes").write_bytes(b"\xff\xfe")
    (tmp_path / "long").write_bytes(b"x" * 2001)
    for name, message in {
        "none": "cannot read curve set .*none: No such file",
        ".": "Is a directory",
        "pipe": "pipe: it is not a regular file",
        "nul\0": "no file can have such a name",
        "bytes": "it is not UTF-8 text",
        "long": "long is larger than 2 kB",
        "two\nlines" * 40: "cannot read",
    }.items():
        refused(read_whole, f"{tmp_path}/{name}", 2000, WHAT, match=message)
    refused(read_whole, "/dev/zero", 2000, WHAT, match="not a regular file")
    (tmp_path / "long").write_bytes(b"x" * 2000)
    assert len(read_whole(tmp_path / "long", 2000, WHAT)) == 2000


# Parsing.

DIGITS = "9" * 5000


@pytest.mark.parametrize(
    ("parse", "text", "message"),
    [
        (parse_toml, "x =\n", "curve set a, line 1, column 4 is not valid TOML: "),
        (parse_toml, "x = " + "[" * 5000, "too deep"),
        (parse_toml, "x = " + "[" * 50 + "]" * 50, "too deep"),
        (parse_toml, ".".join("x" * 3000) + " = 1", "too deep"),
        (parse_toml, f"x = {DIGITS}", "a cannot be read as TOML: .*too many digits"),
        (parse_toml, f"{'k' * 5000} = 1\n{'k' * 5000} = 1", "not valid TOML"),
        (parse_json, "{", "curve set a, line 1, column 2 is not JSON: "),
        (parse_json, "[" * 100_000, "too deep"),
        (parse_json, "[" * 50 + "]" * 50, "too deep"),
        (parse_json, DIGITS, "too many digits"),
    ],
)
def test_a_text_that_cannot_be_parsed_is_said_in_one_line(parse, text, message):
    refused(parse, text, WHAT, "a", match=message)


@pytest.mark.parametrize(
    ("parse", "text", "line", "column", "shown"),
    [
        (parse_toml, "a = 1\r\nb = = 2\r\n", 2, 5, "b = = 2"),
        (parse_toml, "\ufeffa = 1\n\tb = \x1b2", 2, 6, " b =  2"),
        (parse_toml, "a = 1\nb = [\n1,\n\n", 3, 3, "1,"),
        (parse_toml, "a = 1\na = 2", 2, 6, "a = 2"),
        (parse_json, '{"a": 1,\n "b": x}', 2, 7, ' "b": x}'),
    ],
)
def test_a_caret_stands_under_what_cannot_be_parsed(parse, text, line, column, shown):
    with pytest.raises(LiftError) as caught:
        parse(text, WHAT, "a")
    told = caught.value.note
    assert (told["line"], told["column"]) == (line, column)
    assert str(told["pointed"]) == f"  {shown}\n  {' ' * (column - 1)}^"
    assert str(caught.value).startswith(f"curve set a, line {line}, column {column} is not ")
    assert "(at " not in str(caught.value)


def test_of_a_long_line_the_part_at_the_caret_is_shown():
    with pytest.raises(LiftError) as caught:
        parse_toml("a = [" + "12, " * 1000 + "?", WHAT, "a")
    shown, caret = str(caught.value.note["pointed"]).splitlines()
    assert len(shown) < 170
    assert shown[len(caret) - 1] == "?"


def test_what_is_parsed():
    assert parse_toml("x = [[1], {y = 2.5}]", WHAT, "a") == {"x": [[1], {"y": 2.5}]}
    assert parse_json('{"x": [1e999, -3]}', WHAT, "a") == {"x": [float("inf"), -3]}
