"""Strand tests over the interface: the command line's numbers, each one's own."""

import json

import pytest
from click.testing import CliRunner

from lift.cli import app as command_line
from lift.show.page.app import build_app

ASKED = {"level": "7", "fibre": "fine", "damp": "true", "mixture": "base-break", "volume": "10"}
OPTIONS = ["--level", "7", "--fibre", "fine", "--damp", "--mixture", "base-break", "--volume", "10"]


def from_command_line(*words):
    done = CliRunner().invoke(command_line, list(words), catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return json.loads(done.output)


@pytest.fixture
def site(tmp_path, open_browser):
    return open_browser(build_app(tmp_path))


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ({"seen": ["5:7.5"]}, ["--seen", "5:7.5"]),
        ({}, []),
        ({"instrument": True, "minutes": "6"}, ["--instrument", "--minutes", "6"]),
    ],
    ids=["seen", "when", "instrument"],
)
def test_a_strand_test_equals_the_command_line(browser, body, words):
    asked = ASKED | ({"minutes": body.pop("minutes")} if "minutes" in body else {})
    got = browser.post("/api/strand", {"asked": asked, **body})
    assert got.json == from_command_line("strand", *OPTIONS, *words, "--json")
    shown = browser.post("/api/strand?shown=true", {"asked": asked, **body}).json
    assert shown["answer"] == got.json
    assert bool(shown["shown"]["moved"]) == bool(body.get("seen"))
    assert shown["shown"]["fibres"] == []


def test_a_strand_test_of_grey_hair_tells_both_kinds_of_fibres(browser):
    asked = {"asked": {**ASKED, "grey": "30"}}
    reply = browser.post("/api/strand?shown=true", asked).json
    fibres = reply["answer"]["after"]["at"]["fibres"]
    assert reply["shown"]["fibres"][1:] == fibres["text"]
    assert reply["shown"]["fibres_codes"][0] == {"code": "strand.reads"}
    words = [lock["words"] for lock in reply["shown"]["locks"]]
    assert words[2:4] == ["white fibres", "pigmented fibres"]


@pytest.mark.parametrize(
    ("body", "status", "field", "words"),
    [
        ({"seen": ["five"]}, 422, "seen", "MINUTES:LEVEL"),
        ({"seen": ["5:13"]}, 422, "seen", "level seen 13 is outside"),
        ({"seen": [5]}, 422, "seen[0]", "not text"),
        ({"seen": ["5:3"]}, 409, "seen", ""),
        ({"asked": {"level": "12"}}, 422, "level", "1 to 10"),
        ({"asked": {"level": 7}}, 422, "asked", "not text"),
        ({"asked": "level"}, 422, "asked", "object"),
        ({"asked": {"mixture": "powder"}}, 409, "goal", "'lighten pale yellow'"),
        ({"asked": {**ASKED, "goal": "lighten"}}, 409, "goal", "needed to find when to rinse"),
        ({"instrument": "yes"}, 422, "instrument", "true or false"),
    ],
)
def test_what_cannot_be_is_refused_by_field(browser, body, status, field, words):
    reply = browser.post("/api/strand", {"asked": ASKED, **body})
    assert reply.status == status, reply.body
    assert words in reply.errors[field]


def test_a_kept_test_moves_the_preview_as_on_the_command_line(site, tmp_path):
    query = "level=7&fibre=fine&damp=true&mixture=base-break&volume=10&minutes=5"
    before = site.get(f"/api/preview?{query}").json
    assert site.get(f"/api/preview?{query}&strand=true").errors == {
        "strand": "strand test: no test is kept"
    }
    body = {"asked": ASKED, "seen": ["10:7.8"]}
    assert site.put("/api/strand/kept", body).json == {"kept": True}
    after = site.get(f"/api/preview?{query}&strand=true")
    file = tmp_path / "strand.json"
    CliRunner().invoke(command_line, ["strand", *OPTIONS, "--seen", "10:7.8", "--save", str(file)])
    assert after.json == from_command_line(
        "preview", *OPTIONS, "--minutes", "5", "--strand", str(file), "--json"
    )
    assert after.json != before
    assert site.get(f"/api/preview?{query}").json == before
    other = site.get(f"/api/preview?{query.replace('level=7', 'level=6')}&strand=true")
    assert other.status == 409
    assert "of other hair" in other.errors["strand"]
    assert site.delete("/api/strand/kept").json == {"kept": False}
    assert site.get(f"/api/preview?{query}&strand=true").status == 409


def test_a_kept_test_is_ones_own(site, open_browser):
    site.put("/api/strand/kept", {"asked": ASKED, "seen": ["10:7.8"]})
    other = open_browser(site.app)
    assert site.get("/api/strand/kept").json == {"kept": True}
    assert other.get("/api/strand/kept").json == {"kept": False}


def test_nothing_seen_is_nothing_to_keep(site):
    assert "seen" in site.put("/api/strand/kept", {"asked": ASKED}).errors


def test_no_refusal_names_a_folder_of_the_server(site, tmp_path):
    site.put("/api/strand/kept", {"asked": ASKED, "seen": ["10:7.8"]})
    (strand,) = tmp_path.glob("sessions/*/strand.json")
    (tmp_path / "visits.sqlite").write_bytes(
        b"not a database, but long enough to be read as one" * 9
    )
    strand.write_text('{"kind": "lift strand test", "version": 1}')
    for reply in (site.get("/api/records.csv"), site.get("/api/preview?strand=true")):
        assert reply.status in (409, 422)
        assert str(tmp_path) not in reply.body.decode()
