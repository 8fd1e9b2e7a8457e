"""A whole visit on a phone by touch alone, nothing typed: from first look to next appointment.

After every step the server is stopped and started again and the page loaded anew: all is there.
"""

import datetime

import pytest
from playwright.sync_api import expect
from show.page.conftest import kept

pytestmark = pytest.mark.slow

NOON = datetime.datetime(2026, 3, 2, 12, 0, tzinfo=datetime.UTC)
LATE = 90
"""Seconds by which the last section comes on late."""

PLAN = "#use-plan:not([hidden]):not([data-stale])"


class Round:
    """One visit on one phone, and the server behind it."""

    def __init__(self, serve, visit, data):
        self.serve, self.data = serve, data
        self.site = serve(data)
        self.visitor = visit(self.site.url, "phone")
        self.page = self.visitor.page
        self.page.set_default_timeout(120_000)
        self.page.clock.install(time=NOON)
        self.page.goto(self.site.url)

    @property
    def kept(self):
        """The visit as the server has it, once it has all of it."""
        return kept(self.page)

    def let(self, seconds):
        self.page.clock.run_for(int(1000 * seconds))

    def tap(self, selector):
        self.page.locator(selector).tap()
        self.let(0.7)

    def press(self, what):
        what.tap()
        self.let(0.7)

    def say(self, root, words):
        self.page.locator(root).get_by_role("radio", name=words, exact=True).first.tap()
        self.let(0.7)

    def again(self):
        """Stop the server and start it anew where it was; load the page, which is as it was."""
        before, at = self.kept, self.page.url
        self.site.stop()
        self.site = self.serve(self.data, port=self.site.port)
        self.page.reload()
        self.page.wait_for_selector(".step:not([hidden])")
        self.let(0.7)
        assert self.page.url == at
        assert self.kept == before
        return before

    def onward(self):
        self.page.locator(".step:not([hidden]) > .next a").tap()
        self.let(0.7)


def tell_the_hair(at):
    page = at.page
    at.press(page.get_by_role("button", name="Begin a visit"))
    at.press(page.get_by_role("button", name="All of the head"))
    at.press(page.get_by_role("radiogroup", name="Natural level").get_by_role("radio", name="7"))
    at.say("#zone-sheet", "fine")
    at.say("#zone-sheet", "damp")
    at.press(page.get_by_role("radio", name="ends", exact=True).first)
    at.press(page.get_by_role("button", name="front, nothing yet"))
    at.press(page.locator("#zone-lightened_to-fold > summary"))
    at.say("#zone-sheet", "yes")
    at.press(page.get_by_role("radio", name="9, pale yellow"))
    for question, answer in {
        "Allergy test": "2 days ago",
        "How is the scalp?": "Sound",
        "Asthma?": "No",
    }.items():
        asked = page.get_by_role("radiogroup", name=question)
        asked.get_by_role("radio", name=answer, exact=True).tap()
        at.let(0.7)
    visit = at.again()
    assert [zone["along"] for zone in visit["zones"]] == ["regrowth", "ends"]
    assert visit["consultation"]["scalp"] == "sound"


def tell_the_wish(at):
    at.onward()
    page = at.page
    at.press(page.locator("#wish-zones .zone").first)
    expect(page.locator("#wish-zone")).to_contain_text("1:")
    at.say("#wish-sheet", "blended")
    at.say("#wish-sheet", "a level")
    at.press(page.locator("#wish-blend-level").get_by_role("radio", name="8"))
    at.press(page.locator("#wish-zones .zone").last)
    expect(page.locator("#wish-zone")).to_contain_text("2:")
    at.say("#wish-sheet", "left as it is")
    visit = at.again()
    assert [zone["goal"] for zone in visit["zones"]] == ["blend 8", "leave"]


def take_what_to_use(at):
    at.onward()
    page = at.page
    ways = page.locator(".one-way")
    while not ways.count():
        # What asks after a while of rest needs time of day to pass.
        at.let(1)
        page.wait_for_timeout(500)
    assert ways.count() >= 2
    at.press(ways.first.locator("button.big"))
    at.let(2)
    page.wait_for_selector(PLAN)
    visit = at.again()
    assert visit["zones"][0]["mixture"] in visit["mixtures"]
    at.let(2)
    page.wait_for_selector(PLAN)
    expect(page.locator("#use-todo")).to_contain_text("Mix first")
    at.press(page.locator("#use-start"))
    at.let(0.7)


def keep_the_clock(at):
    page = at.page
    page.wait_for_selector("#clock-set:not([hidden])")
    at.tap("#press")
    while page.locator("#press").inner_text() == "Applied":
        late = LATE if page.locator("#clock-todo").inner_text().endswith("1") else 0
        page.clock.fast_forward(1000 * (60 + late))
        at.let(0.5)
        at.tap("#press")
    begun = at.again()["clock"]
    assert begun["zones"][0]["laid"]
    page.wait_for_selector("#clock-set:not([hidden])")
    for _ in range(400):
        state, todo = page.get_attribute("#face", "data-state"), page.inner_text("#clock-todo")
        if todo.startswith("Look"):
            at.tap("#press")
            at.tap("#look-pass")
        elif state in ("rinse", "late"):
            break
        else:
            page.clock.fast_forward(10_000)
            at.let(0.5)
    at.tap("#press")
    marks = at.again()["clock"]["zones"][0]
    assert marks["rinsed"] > marks["laid"][-1]


def tone_it(at):
    page = at.page
    page.goto(page.url.replace("/clock", "/tone"))
    at.let(0.7)
    expect(page.locator("#tone-todo")).not_to_be_empty()
    at.press(page.locator("#tone-now summary").first)
    at.press(page.locator("#tone-levels .level >> nth=6"))
    at.let(2)
    seen = at.again()["came_out"]
    assert seen[0]["seen"] == "7.0"


def end_it(at):
    at.onward()
    page = at.page
    expect(page.locator("#after-todo")).not_to_be_empty()
    dates = page.locator("#after-dates [role=radio]")
    dates.first.wait_for()
    at.press(dates.nth(1))
    expect(dates.nth(1)).to_have_attribute("aria-checked", "true")
    visit = at.again()
    assert visit["visit"]["next"] > visit["visit"]["date"]
    at.press(page.get_by_role("button", name="Begin the next visit"))
    page.wait_for_selector("#hair-step:not([hidden])")
    following = at.kept
    assert following["visit"]["client"] == visit["visit"]["client"]
    assert following["visit"]["name"] != visit["visit"]["name"]
    assert [zone["name"] for zone in following["zones"]]


def test_a_whole_visit_by_touch_alone(serve, visit, tmp_path):
    at = Round(serve, visit, tmp_path)
    for step in (
        *(tell_the_hair, tell_the_wish, take_what_to_use),
        *(keep_the_clock, tone_it, end_it),
    ):
        step(at)
