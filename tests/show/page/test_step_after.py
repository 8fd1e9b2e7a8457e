"""Afterwards: what came out, the next visit, the card, the calendar entry, what visits taught."""

import io
import re
import shutil
from pathlib import Path

import pytest
from icalendar import Calendar
from playwright.sync_api import expect
from show.page.conftest import kept

from lift.show.page.app import build_app

MARKS = {
    "zones": [
        {"zone": "foils", "begun": 0.0, "laid": [1.0, 6.0], "rinsed": 13.4, "toned": 24.0},
        {"zone": "base", "begun": 7.2, "laid": [7.5, 8.5], "rinsed": 13.6},
    ]
}


@pytest.fixture
def site(tmp_path, open_browser):
    return open_browser(build_app(tmp_path))


def keep(site, like=None, again=False, **changes):
    """A visit kept with some of its keys changed."""
    made = site.post("/api/visits", {"like": like, "again": again}).json
    visit = made["visit"] | changes
    name = visit["visit"]["name"]
    put = site.put(f"/api/visits/{name}", {"visit": visit, "revision": made["revision"]})
    assert put.status == 200, put.body
    return put.json["visit"]


def done(site, **more):
    """The demo with two zones as it is after its clock, nothing left open."""
    made = site.get("/api/visits/blonde-refresh").json["visit"]
    mixtures, zones = made["mixtures"], made["zones"]
    mixtures["lightener"] |= {"volume": 10, "tone": {}}
    mixtures["base_break"] |= {"volume": 5, "tone": {}}
    zones[0] |= {"minutes": 13, "toner": {"kind": "direct", "doses": {"blue": 2.0}}}
    zones[1] |= {"minutes": 6, "toner": "none"}
    return keep(site, "blonde-refresh", mixtures=mixtures, zones=zones, clock=MARKS, **more)


def simple(site, level, seen, client=None):
    """One zone under a cream for half an hour, and what came out of it."""
    zone = {"name": "base", "natural_level": level, "mixture": "m", "goal": "lighten 8"}
    made = site.post("/api/visits", {}).json
    visit = made["visit"] | {
        "mixtures": {"m": {"kind": "cream", "volume": 20, "tone": {}}},
        "zones": [zone | {"minutes": 30, "toner": "none"}],
        "came_out": [{"zone": "base", "minutes": 30, "seen": seen}],
    }
    if client is not None:
        visit["visit"]["client"] = client
    name = visit["visit"]["name"]
    put = site.put(f"/api/visits/{name}", {"visit": visit, "revision": made["revision"]})
    assert put.status == 200, put.body
    return name


# The interface.


def test_afterwards_tells_minutes_what_was_expected_and_what_came(site):
    visit = done(site)
    told = site.post("/api/after", {"visit": visit}).json
    assert [(z["name"], z["minutes"], z["said_by"]) for z in told["zones"]] == [
        # Of the middle of what was laid, and rinsed one after the other.
        ("foils", 11.98, "clock"),
        ("base", 6.27, "clock"),
    ]
    assert [z["against"] for z in told["zones"]] == ["open", "open"]
    assert [z["scale"] for z in told["zones"]] == ["underpigment", "natural"]
    assert told["took_minutes"] == 24.0
    sources = [each["source"] for each in told["care"]]
    assert all(sources)
    assert any("6 to 8" in each["said"] for each in told["care"])
    visit["came_out"] = [{"zone": "foils", "minutes": 13.4, "seen": "10"}]
    foils = site.post("/api/after", {"visit": visit}).json["zones"][0]
    assert (foils["level"], foils["against"]) == (10.0, "lighter")
    assert [lock["words"] for lock in foils["locks"]] == ["before", "expected", "came out"]


def test_a_day_is_proposed_for_what_came_out_and_refused_of_none(site):
    visit = done(site, came_out=[{"zone": "foils", "minutes": 13.4, "seen": "8.4"}])
    found = site.post("/api/next", {"visit": visit}).json
    assert found["weeks"] in [each["weeks"] for each in found["offered"]]
    assert found["date"] in [each["date"] for each in found["offered"]]
    assert found["why_codes"][0]["code"].startswith("next.")
    # Of hair without a wish nothing can be planned; what is usual is proposed.
    empty = site.post("/api/visits", {}).json["visit"]
    usual = site.post("/api/next", {"visit": empty}).json
    assert usual["weeks"] == 10
    assert "common practice" in usual["why"][0]


def test_the_history_of_a_client_is_her_other_visits_that_were(site):
    first = simple(site, 6, "8.5", "qf4-mk7")
    second = simple(site, 6, "9.9", "qf4-mk7")
    simple(site, 6, "8.5", "bc2-df3")
    third = site.post("/api/visits", {"like": second, "again": True}).json["visit"]["visit"]["name"]
    found = site.get(f"/api/visits/{third}/history").json["visits"]
    assert [visit["name"] for visit in found] == [second, first]
    assert [visit["zones"][0]["against"] for visit in found] == ["lighter", "as_expected"]
    assert [v["name"] for v in site.get(f"/api/visits/{first}/history").json["visits"]] == [second]
    assert site.get("/api/visits/none-here/history").status == 404


def test_card_and_calendar_entry_are_of_a_visit(site):
    visit = done(site)
    own = visit["visit"]
    card = site.get(f"/card/{own['name']}?paper=Letter")
    assert card.headers["content-type"].startswith("text/html")
    assert "script" not in card.headers["content-security-policy"]
    text = card.body.decode()
    assert own["client"] in text
    assert own["date"] in text
    assert "size: letter" in text
    assert site.get("/card/none-here").status == 404
    refused = site.get(f"/visits/{own['name']}.ics")
    assert refused.status == 422
    assert "choose it first" in refused.errors[""]
    own["next"] = "2027-01-15"
    revision = site.get(f"/api/visits/{own['name']}").json["revision"]
    site.put(f"/api/visits/{own['name']}", {"visit": visit, "revision": revision})
    entry = site.get(f"/visits/{own['name']}.ics?at=10:30")
    assert entry.headers["content-type"].startswith("text/calendar")
    (event,) = Calendar.from_ical(entry.body).walk("VEVENT")
    assert event.decoded("dtstart").isoformat() == "2027-01-15T10:30:00"
    assert site.get(f"/visits/{own['name']}.ics?at=25:00").status == 422


def test_a_visit_without_a_mixture_or_a_toner_has_no_card(site):
    name = site.post("/api/visits", {}).json["visit"]["visit"]["name"]
    assert "nothing is mixed or toned" in site.get(f"/card/{name}").errors[""]


ENDS = {"name": "ends", "natural_level": 6, "lightened_to": 8, "goal": "tone"}


def test_the_card_of_a_visit_that_is_only_toned_answers_what_was_seen(site):
    visit = keep(site, zones=[ENDS])
    address = f"/card/{visit['visit']['name']}"
    before = site.get(address).body.decode()
    assert "level 8.0, as before the service" in before
    kept = site.get(f"/api/visits/{visit['visit']['name']}").json
    assert kept["ready"]["after"]
    visit["came_out"] = [{"zone": "ends", "minutes": 0, "seen": "9.4"}]
    put = {"visit": visit, "revision": kept["revision"]}
    assert site.put(f"/api/visits/{visit['visit']['name']}", put).status == 200
    card = site.get(f"{address}?paper=Letter")
    assert "level 9.4, as it was seen" in card.body.decode()
    assert "size: letter" in card.body.decode()
    assert "script" not in card.headers["content-security-policy"]


@pytest.mark.slow
@pytest.mark.skipif(not shutil.which("chromium"), reason="chromium is not installed")
def test_the_card_is_sent_as_a_pdf_of_one_page(site):
    from pypdf import PdfReader

    name = done(site)["visit"]["name"]
    made = site.get(f"/card/{name}.pdf")
    assert made.headers["content-type"] == "application/pdf"
    assert f'filename="{name}.pdf"' in made.headers["content-disposition"]
    assert len(PdfReader(io.BytesIO(made.body)).pages) == 1


QUERY = "/api/preview?level=6&volume=20&mixture=cream&minutes=30&goal=lighten"


def test_what_visits_taught_answers_everything_until_it_is_switched_off(site, tmp_path):
    simple(site, 6, "9.6")
    few = site.get("/api/taught").json
    assert (few["on"], few["can"], few["visits"]) == (False, False, 1)
    refused = site.put("/api/taught", {"on": True})
    assert refused.status == 409
    assert "at least 3" in refused.errors["on"]
    for level, seen in ((5, "8.9"), (7, "9.9"), (6, "9.7")):
        simple(site, level, seen)
    name = done(site)["visit"]["name"]
    card = site.get(f"/card/{name}").body
    before = site.get(QUERY).json
    on = site.put("/api/taught", {"on": True}).json
    assert (on["on"], on["visits"]) == (True, 4)
    assert "tuned to 4 records" in on["standing"]
    after = site.get(QUERY).json
    assert after["curve_set"]["name"] == "own"
    assert after["at"]["level"]["median"] > before["at"]["level"]["median"] + 0.1
    assert b"tuned to 4 records" in site.get(f"/card/{name}").body
    # It holds after a restart, and is gone when it is switched off.
    site.app = build_app(tmp_path)
    assert site.get("/api/taught").json["on"] is True
    assert site.get(QUERY).json == after
    off = site.put("/api/taught", {"on": False}).json
    assert (off["on"], off["standing"]) == (False, "")
    assert site.get(QUERY).json == before
    assert site.get(f"/card/{name}").body == card


def test_inventions_teach_nothing(site):
    for seen in ("9.2", "9.4", "9.6"):
        visit = keep(site, "blonde-refresh")
        assert visit["visit"]["invented"]
        visit["came_out"] = [{"zone": "foils", "minutes": 13, "seen": seen}]
        name = visit["visit"]["name"]
        revision = site.get(f"/api/visits/{name}").json["revision"]
        site.put(f"/api/visits/{name}", {"visit": visit, "revision": revision})
    assert site.get("/api/taught").json["visits"] == 0


def test_records_are_a_table_of_all_visits(site):
    simple(site, 6, "8.5", "qf4-mk7")
    table = site.get("/api/records.csv").body.decode().splitlines()
    assert len(table) == 2
    assert "qf4-mk7" in table[1]


# The step in a browser.

PUT = """([url, body]) => fetch(url, {
  method: "PUT", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
}).then((reply) => reply.json())"""


def at_step(visitor, site_of, make):
    """Open the step of a visit that is made over the interface, by the page's own session."""
    page = visitor.page
    page.goto(visitor.url)
    page.wait_for_selector("html[data-ready]", state="attached")
    ask = """async ([method, url, body]) => {
      const headers = body ? { "Content-Type": "application/json" } : {};
      const reply = await fetch(url, { method, headers, body: body && JSON.stringify(body) });
      return [reply.status, await reply.json()];
    }"""

    class Asked:
        def __init__(self, status, json):
            self.status, self.json, self.body = status, json, json

    class Site:
        def get(self, url):
            return Asked(*page.evaluate(ask, ["GET", url, None]))

        def post(self, url, body):
            return Asked(*page.evaluate(ask, ["POST", url, body]))

        def put(self, url, body):
            return Asked(*page.evaluate(ask, ["PUT", url, body]))

    name = make(Site())["visit"]["name"]
    page.goto(f"{visitor.url}/#{name}/after")
    page.wait_for_selector(".after-zone")
    return page, Site(), name


@pytest.mark.slow
def test_what_came_out_and_the_next_day_are_tapped(served, visit):
    visitor = visit(served.url, "phone")
    page, _, name = at_step(visitor, served, done)
    todo = page.locator("#after-todo")
    expect(todo).to_have_text("What came out of foils? Tap the lock it looks like.")
    foils, base = (page.locator(".after-zone").nth(i) for i in range(2))
    foils.get_by_role("radio").nth(7).tap()
    expect(todo).to_have_text("What came out of base? Tap the lock it looks like.")
    expect(foils.locator(".after-words")).to_have_text("level 8.0 came out, as expected")
    base.get_by_role("radio").nth(9).tap()
    expect(base.locator(".after-words")).to_contain_text("lighter than expected")
    expect(todo).to_have_text("When does she come again?")
    expect(page.locator("#after-calendar")).to_be_disabled()
    proposed = page.locator(".after-day", has_text="proposed")
    proposed.tap()
    expect(todo).to_contain_text("All is kept")
    expect(page.locator("#after-calendar")).to_be_enabled()
    # It is all there after a reload; what was told is folded, and can be mended.
    page.reload()
    page.wait_for_selector(".after-zone")
    expect(todo).to_contain_text("All is kept")
    expect(base.get_by_role("radio").first).to_be_hidden()
    base.get_by_role("button", name="Change").tap()
    base.get_by_role("radio").nth(6).tap()
    base.get_by_role("button", name="base: 1 min more").tap()
    expect(base.locator(".after-words")).to_have_text("level 7.0 came out, as expected")
    come = kept(page)
    assert [(c["zone"], c["minutes"], c["seen"]) for c in come["came_out"]] == [
        ("foils", 11.98, "8"),
        ("base", 7.27, "7"),
    ]
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", come["visit"]["next"])
    with page.expect_download() as waiting:
        page.tap("#after-calendar")
    entry = Calendar.from_ical(Path(waiting.value.path()).read_bytes())
    assert entry.walk("VEVENT")[0].decoded("dtstart").isoformat() == come["visit"]["next"]
    page.tap("#after-again")
    page.wait_for_url(re.compile("/hair$"))
    again = page.url.partition("#")[2].partition("/")[0]
    assert again != name
    page.goto(f"{served.url}/#{again}/after")
    page.locator("#after-history").wait_for()
    expect(page.locator("#after-earlier")).to_contain_text("level 7.0 came out, as expected")


@pytest.mark.slow
def test_a_card_is_offered_where_something_is_laid_on(served, visit):
    visitor = visit(served.url, "phone")
    visitor.open()
    for zone, offered in ((ENDS, True), ({**ENDS, "goal": "leave"}, False)):
        made = visitor.ask("/api/visits", {})
        name = made["visit"]["visit"]["name"]
        put = {"visit": {**made["visit"], "zones": [zone]}, "revision": made["revision"]}
        visitor.page.evaluate(PUT, [f"/api/visits/{name}", put])
        visitor.open(f"{name}/after")
        expect(visitor.page.locator("#after-care li").first).to_be_visible()
        expect(visitor.page.locator("#after-cards")).to_be_visible(visible=offered)
        expect(visitor.page.locator("#after-came")).to_be_hidden()


@pytest.mark.slow
def test_without_a_connection_it_is_told_all_the_same_and_a_stranger_minute_is_asked(served, visit):
    visitor = visit(served.url, "phone")

    def unclocked(site):
        made = done(site, came_out=[])
        made["clock"] = {}
        for zone in made["zones"]:
            zone.pop("minutes", None)
        name = made["visit"]["name"]
        revision = site.get(f"/api/visits/{name}").json["revision"]
        site.put(f"/api/visits/{name}", {"visit": made, "revision": revision})
        return made

    page, _, name = at_step(visitor, served, unclocked)
    todo = page.locator("#after-todo")
    expect(todo).to_have_text("How long was the mixture on foils?")
    foils = page.locator(".after-zone").first
    expect(foils.get_by_role("radio").first).to_be_hidden()
    page.context.set_offline(True)
    foils.get_by_role("button", name="foils: 1 min more").tap()
    foils.get_by_role("radio").nth(8).tap()
    expect(todo).to_have_text("How long was the mixture on base?")
    page.context.set_offline(False)
    expect(foils.locator(".after-words")).to_contain_text("level 9.0 came out")
    here = page.evaluate(f"JSON.parse(localStorage.getItem('lift.visit.{name}')).visit.came_out")
    assert [(c["zone"], c["minutes"], c["seen"]) for c in here] == [("foils", 30, "9")]


@pytest.mark.slow
@pytest.mark.parametrize(("width", "letters"), [(390, "200%"), (320, "100%")])
def test_it_fits_narrow_pages_and_large_letters(served, visit, width, letters):
    visitor = visit(served.url, "phone")
    visitor.page.set_viewport_size({"width": width, "height": 740})
    page, *_ = at_step(visitor, served, done)
    page.evaluate(f"document.documentElement.style.fontSize = '{letters}'")
    page.wait_for_selector(".after-day")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = """[...document.querySelectorAll("#after-step :is(button, a.button, input, select)")]
      .filter((each) => each.offsetParent)
      .map((each) => each.getBoundingClientRect())
      .filter(({ width, height }) => Math.min(width, height) < 43.5).length"""
    assert page.evaluate(small) == 0
