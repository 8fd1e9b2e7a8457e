"""What is sent is read as its type; what is not as the type has it is refused at its place."""

import http.client
from contextlib import closing, suppress
from typing import Annotated, Literal

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Meta, field

from lift.answers.encode import Part
from lift.show.page.question import RefusedError
from lift.show.page.reading import read_json, read_text
from lift.show.page.security import MAX_BYTES


class Zone(Part):
    level: float
    head: list[Literal["top", "back"]] = field(default_factory=list)
    share: Annotated[float, Meta(gt=0, le=1)] = 1.0


class Visit(Part):
    name: str
    zones: list[Zone] = field(default_factory=list)
    asked: dict[str, str] = field(default_factory=dict)
    made: int | None = None


def refused(content):
    with pytest.raises(RefusedError) as caught:
        read_json(content, Visit)
    ((field, said),) = caught.value.errors.items()
    return caught.value.status, field, said.code, str(said)


@pytest.mark.parametrize(
    ("content", "status", "field", "said"),
    [
        (b"", 400, "", "not valid JSON"),
        (b"[]", 422, "", "the body is not an object"),
        (b"{}", 422, "name", "name is missing"),
        (b'{"name":7}', 422, "name", "name is not text"),
        (b'{"name":"a","nmae":1}', 422, "nmae", "'nmae' is not known here"),
        (b'{"name":"a","made":"x"}', 422, "made", "made is not a whole number, nothing"),
        (b'{"name":"a","zones":[{"level":7},{}]}', 422, "zones[1].level", "level is missing"),
        (b'{"name":"a","zones":[{"level":"7"}]}', 422, "zones[0].level", "is not a number"),
        (b'{"name":"a","zones":[{"level":7,"x":1}]}', 422, "zones[0].x", "'x' is not known"),
        (b'{"name":"a","zones":[{"level":7,"share":2}]}', 422, "zones[0].share", "not a value"),
        (b'{"name":"a","zones":[{"level":7,"head":["n"]}]}', 422, "zones[0].head[0]", "not a val"),
        (b'{"name":"a","zones":[{"level":1e999}]}', 422, "zones[0].level", "not a value"),
        (b'{"name":"a","asked":{"level":7}}', 422, "asked", "asked is not text"),
        (b'{"name":"a` - at `$.b"}x', 400, "", "not valid JSON"),
    ],
)
def test_what_is_wrong_is_told_at_its_place(content, status, field, said):
    found = refused(content)
    assert found[:2] == (status, field)
    assert said in found[3]


Table = msgspec.defstruct("Table", [("level", float)])


class Given(Part):
    """A body whose table has a reader of its own."""

    table: Table
    revision: int
    zone: str | None = None
    looks: list[float] = field(default_factory=list)


def test_a_table_with_a_reader_of_its_own_is_left_to_it():
    found = read_json(b'{"table":{"level":"x"},"revision":2}', Given)
    assert (found.table, found.revision, found.zone, found.looks) == ({"level": "x"}, 2, None, [])
    for content, field_ in ((b'{"table":[],"revision":1}', "table"), (b'{"table":{}}', "revision")):
        with pytest.raises(RefusedError) as caught:
            read_json(content, Given)
        assert [*caught.value.errors] == [field_]


@given(st.binary(max_size=60) | st.text(alphabet='{}[]":,01e9name', max_size=40).map(str.encode))
def test_whatever_is_sent_is_read_or_refused(content):
    with suppress(RefusedError):
        assert isinstance(read_json(content, Visit), Visit)


@pytest.mark.parametrize("typed", ["0", "-1", "one", "1e999", "nan", "", "1.5"])
def test_a_typed_number_that_is_none_is_refused_at_its_field(typed):
    with pytest.raises(RefusedError) as caught:
        read_text("number", typed, Annotated[int, Meta(ge=1)])
    assert [*caught.value.errors] == ["number"]


def test_a_typed_number_is_read():
    assert read_text("number", "12", Annotated[int, Meta(ge=1)]) == 12


@pytest.mark.parametrize("number", ["9" * 30, "9" * 4000])
def test_a_number_no_table_holds_is_refused(browser, number):
    visit = browser.post("/api/visits", {}).json["visit"] | {"title": "changed"}
    body = {"visit": visit, "revision": int(number)}
    name = visit["visit"]["name"]
    assert browser.put(f"/api/visits/{name}", body).status in (400, 409, 422)


def test_a_body_in_chunks_that_turns_out_too_large_is_told_so(served):
    """By a real server, which answers once only."""
    headers = {"content-type": "application/json", "origin": served.url}
    chunks = iter([b'{"visit":{"a":"', b"x" * (MAX_BYTES + 10), b'"}}'])
    with closing(http.client.HTTPConnection("127.0.0.1", served.port, timeout=20)) as connection:
        connection.request("PUT", "/api/visits/none-1", chunks, headers, encode_chunked=True)
        reply = connection.getresponse()
        assert reply.status == 413
        assert str(MAX_BYTES) in reply.read().decode()
