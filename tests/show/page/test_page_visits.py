"""Visits over the interface: kept as they are changed, shared, copied, and the next one."""

import json
import shutil
from pathlib import Path

import pytest

from lift.practice.visit.visit_store import VisitStore
from lift.practice.visit.visit_table import visit_of
from lift.show.page.app import build_app
from lift.show.page.sessions import Sessions
from lift.show.page.visits import demos

KEPT = Path(__file__).parents[2] / "kept" / "0.1.0"
ZONE = {"name": "base", "head": ["top"], "along": "regrowth", "natural_level": 7, "fibre": "fine"}


@pytest.fixture
def data(tmp_path):
    return tmp_path / "data"


@pytest.fixture
def site(data, open_browser):
    return open_browser(build_app(data))


def begin(site, **zones_and_more):
    got = site.post("/api/visits", {"like": None}).json
    visit = got["visit"] | zones_and_more
    return visit["visit"]["name"], visit, got["revision"]


def put(site, name, visit, revision):
    return site.put(f"/api/visits/{name}", {"visit": visit, "revision": revision})


def own(site):
    return [v for v in site.get("/api/visits").json["visits"] if not v["demo"]]


def test_a_visit_begins_empty_and_has_a_client_and_a_day(site):
    got = site.post("/api/visits", {}).json
    head = got["visit"]["visit"]
    assert head["client"]
    assert head["date"]
    assert (got["visit"]["zones"], got["revision"]) == ([], 1)
    assert got["ready"] == dict.fromkeys(("wish", "use", "clock", "tone", "after"), False)


def test_what_is_kept_is_read_by_anybody_who_may_use_the_page(site, open_browser):
    name, visit, revision = begin(site, zones=[ZONE | {"goal": "lighten 9"}])
    kept = put(site, name, visit, revision).json
    other = open_browser(site.app)
    assert other.get(f"/api/visits/{name}").json == kept
    (zone,) = kept["zones"]
    assert zone["words"] == "natural level 7, fine"
    assert zone["wish"].startswith("level 9")
    assert len(zone["locks"]) == 3
    assert kept["ready"]["use"]
    assert not kept["ready"]["clock"]
    (listed,) = own(other)
    assert (listed["words"], listed["zones"], listed["state"]) == ("1 zone: lighten", 1, "planned")
    assert [lock["words"] for lock in listed["locks"]] == ["base"]


def test_the_list_follows_what_is_changed_and_deleted(site):
    first, visit, revision = begin(site)
    second, *_ = begin(site)
    assert [v["name"] for v in own(site)] == [second, first]
    put(site, first, visit | {"title": "Refresh"}, revision)
    assert [v["title"] for v in own(site)] == ["", "Refresh"]
    assert site.delete(f"/api/visits/{second}").json == {"name": second}
    assert [v["name"] for v in own(site)] == [first]
    assert site.delete(f"/api/visits/{second}").status == 404


def test_the_later_of_two_devices_is_told(site):
    name, visit, revision = begin(site)
    mine, theirs = visit | {"title": "mine"}, visit | {"title": "theirs"}
    assert put(site, name, mine, revision).json["revision"] == revision + 1
    late = put(site, name, theirs, revision)
    assert (late.status, [*late.errors]) == (409, ["revision"])
    assert site.get(f"/api/visits/{name}").json["visit"]["title"] == "mine"
    # The same once more, as after an answer that was lost on the way, is no change.
    assert put(site, name, mine, revision).json["revision"] == revision + 1


def test_a_server_restart_loses_nothing(site, data, open_browser):
    name, visit, revision = begin(site, zones=[ZONE])
    kept = put(site, name, visit, revision).json
    assert open_browser(build_app(data)).get(f"/api/visits/{name}").json == kept


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"zones": [ZONE | {"natural_level": 12}]}, "zones[0].natural_level", "nearest: 10"),
        ({"zones": [ZONE, ZONE]}, "zones[1].name", "twice"),
        ({"zones": [ZONE | {"gaol": "x"}]}, "zones[0].gaol", "did you mean goal?"),
        ({"mixtures": {"x": {"kind": "powder", "volume": 90}}}, "mixtures.x", "12 % H2O2"),
        ({"looks": [{"zone": "base", "minutes": 3, "seen": "7"}]}, "looks[0].zone", "zone"),
        ({"visit": {"name": "other-1"}}, "visit.name", "the address names"),
        ({"visit": {"name": "x y"}}, "visit.name", "letters, digits"),
    ],
)
def test_what_is_refused_says_where(site, changes, field, words):
    name, visit, revision = begin(site)
    reply = put(site, name, visit | changes, revision)
    assert reply.status == 422
    assert words in reply.errors[field]
    assert site.get(f"/api/visits/{name}").json["revision"] == revision


@pytest.mark.parametrize(
    ("method", "path", "body", "status"),
    [
        ("GET", "/api/visits/none-1", None, 404),
        ("PUT", "/api/visits/none-1", {"visit": {"visit": {"name": "none-1"}}, "revision": 1}, 404),
        ("PUT", "/api/visits/none-1", {"visit": [], "revision": 1}, 422),
        ("PUT", "/api/visits/none-1", {"visit": {}, "revision": True}, 422),
        ("POST", "/api/visits", {"like": "none-1"}, 404),
        ("POST", "/api/visits", {"like": 3}, 422),
        ("DELETE", "/api/visits/blonde-refresh", None, 404),
    ],
)
def test_what_is_not_there_is_refused(site, method, path, body, status):
    assert site.call(method, path, body).status == status


def test_demos_are_marked_and_opened_as_copies(site):
    listed = [v for v in site.get("/api/visits").json["visits"] if v["demo"]]
    assert [v["name"] for v in listed] == [*demos()]
    assert all(v["invented"] and v["locks"] for v in listed)
    demo = site.get("/api/visits/blonde-refresh").json
    copy = site.post("/api/visits", {"like": "blonde-refresh"}).json
    assert copy["visit"]["zones"] == demo["visit"]["zones"]
    assert copy["visit"]["visit"]["invented"]
    assert (demo["revision"], copy["revision"]) == (0, 1)
    assert copy["ready"]["clock"]


def test_the_next_visit_of_the_same_client(site):
    name, visit, revision = begin(
        site,
        zones=[ZONE | {"goal": "lighten 8", "mixture": "x", "regrowth_mm": 20}],
        mixtures={"x": {"kind": "cream", "volume": 20}},
        came_out=[{"zone": "base", "minutes": 20, "seen": "8.2"}],
        consultation={"asthma": "no", "scalp": "sound"},
    )
    visit["visit"] |= {"date": "2026-01-01"}
    assert put(site, name, visit, revision).status == 200
    found = site.post("/api/visits", {"like": name, "again": True}).json["visit"]
    assert found["visit"]["client"] == visit["visit"]["client"]
    base, lengths = found["zones"]
    assert base["goal"] == "lighten 8"
    assert (lengths["along"], lengths["lightened_to"]) == ("mid-lengths", 8.2)
    assert lengths["length_mm"] == 20
    assert (found["came_out"], found["consultation"].get("scalp")) == ([], None)
    assert found["consultation"]["asthma"] == "no"


def test_the_file_of_visits_is_the_command_lines(site, data):
    name, *_ = begin(site)
    with VisitStore(data / "visits.sqlite") as store:
        assert store.get(name).revision == 1
        store.add(visit_of({"visit": {"name": "mine-1"}, "title": "From elsewhere"}))
    assert own(site)[0]["title"] == "From elsewhere"


def test_an_answer_can_be_sent_back_as_it_is(site):
    for name in demos():
        copy = site.post("/api/visits", {"like": name}).json
        again = put(site, copy["visit"]["visit"]["name"], copy["visit"], 1)
        assert json.loads(again.body) == copy


def test_what_a_session_kept_before_becomes_visits(site, data, open_browser):
    """Scenarios that are not done, records that were; once, and whatever else stays."""
    assert own(site) == []
    folder = Sessions(data).folder_of(site.cookie.partition("=")[2])
    folder.mkdir()
    (folder / "strand.json").write_text("{}", "utf-8")
    shutil.copy(KEPT / "records.sqlite", folder)
    (folder / "scenarios").mkdir()
    for name in ("refresh", "broken"):
        shutil.copy(KEPT / "blonde_refresh.toml", folder / "scenarios" / f"{name}.toml")
    (folder / "scenarios" / "broken.toml").write_text("x = [", "utf-8")
    assert own(open_browser(site.app)) == []
    for _ in range(2):
        states = [visit["state"] for visit in own(site)]
        assert states == ["planned", "done", "done", "done", "done"]
    assert [p.name for p in (folder / "scenarios").iterdir()] == ["broken.toml"]
    assert (folder / "strand.json").exists()
    assert not (folder / "records.sqlite").exists()
    assert len(site.get("/api/records.csv").body.splitlines()) == 1 + 4


def test_no_refusal_names_a_folder_of_the_server(site, data):
    unreadable = b"not a database, but long enough to be read as one" * 9
    (data / "visits.sqlite").write_bytes(unreadable)
    reply = site.get("/api/records.csv")
    assert reply.status == 422
    assert str(data) not in reply.body.decode()
