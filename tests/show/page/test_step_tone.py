"""The step of the tone on a phone: by touch alone, without typing."""

import re

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.slow

ZONES = [
    {"name": "foils", "natural_level": 6, "mixture": "light", "minutes": 30, "goal": "lighten 9"},
    {"name": "base", "natural_level": 6, "mixture": "light", "goal": "blend"},
    {"name": "ends", "natural_level": 6, "lightened_to": 8.5},
    {"name": "fringe", "natural_level": 6, "goal": "leave"},
]
BEGIN = """async (zones) => {
  const ask = async (method, path, body) => (await fetch(path, {
    method, body: JSON.stringify(body), headers: { "Content-Type": "application/json" },
  })).json();
  const { visit, revision } = await ask("POST", "/api/visits", {});
  visit.zones = zones;
  visit.mixtures = { light: { kind: "powder", volume: 20 } };
  const { name } = visit.visit;
  await ask("PUT", `/api/visits/${name}`, { visit, revision });
  return name;
}"""
KEPT = "async (name) => (await (await fetch(`/api/visits/${name}`)).json()).visit"


@pytest.fixture
def step(served, visit):
    """A phone at this step of a fresh visit, and what the server has of it."""
    page = visit(served.url, "phone").page
    page.goto(served.url)
    page.wait_for_selector("html[data-ready]", state="attached")
    name = page.evaluate(BEGIN, ZONES)
    page.goto(f"{served.url}/#{name}/tone")
    expect(page.locator("#tone-why")).not_to_be_empty()

    def kept(zone, key="toner"):
        page.wait_for_timeout(600)
        expect(page.locator("#saved")).to_be_empty()
        table = page.evaluate(KEPT, name)
        return next(each for each in table["zones"] if each["name"] == zone).get(key), table

    return page, kept


def drag(page, share):
    slider = page.locator("#tone-dose")
    # To the middle: at the foot of the screen it lies under the way.
    slider.evaluate("each => each.scrollIntoView({ block: 'center' })")
    box = slider.bounding_box()
    page.mouse.click(box["x"] + share * box["width"], box["y"] + box["height"] / 2)


def test_a_zone_is_toned_by_touch(step):
    page, kept = step
    todo, look = page.locator("#tone-todo"), page.locator("#tone-look")
    expect(todo).to_contain_text("1 part to")
    expect(page.locator("#tone-zones button")).to_have_text(["foils", "base", "ends"])
    # It looks otherwise than predicted: that is tapped, and kept as what came out.
    expect(page.locator("#tone-now-words")).to_contain_text("as predicted after 30 min")
    before = todo.inner_text()
    page.tap("#tone-now summary")
    page.tap("#tone-levels .level >> nth=7")
    expect(page.locator("#tone-now-words")).to_contain_text("level 8.0, as it was seen")
    expect(todo).not_to_have_text(before)
    expect(page.locator("#tone-why")).to_contain_text("It is darker than natural hair of level 9")
    # The dose follows the finger without asking the server.
    page.tap("#tone-now summary")
    expect(look).to_have_text("Looks natural")
    drag(page, 0.98)
    expect(look).to_contain_text("Past neutral")
    drag(page, 0.0)
    expect(todo).to_have_text(re.compile("No toner; .* would answer it"))
    page.tap("#tone-best")
    expect(look).to_have_text("Looks natural")
    expect(page.locator("#tone-use")).to_have_text("This toner is used")
    toner, table = kept("foils")
    assert set(toner["doses"]) == {"blue-violet", "violet"}
    assert table["came_out"][0]["seen"] == "8.0"
    assert table["came_out"][0]["minutes"] == 30


def test_hair_that_nothing_is_known_of_is_looked_at_first(step):
    page, kept = step
    page.tap("#tone-zones button >> nth=1")
    expect(page.locator("#tone-todo")).to_have_text("What does base look like now? Tap a lock.")
    expect(page.locator("#tone-answer")).to_be_hidden()
    page.tap("#tone-levels .level >> nth=6")
    expect(page.locator("#tone-answer")).to_be_visible()
    page.tap("#tone-none")
    expect(page.locator("#tone-zones button >> nth=1")).to_contain_text("no toner")
    assert kept("base")[0] == "none"


def test_hair_without_a_mixture_is_toned_once_that_is_wanted_and_the_day_follows(step):
    page, kept = step
    page.tap("#tone-zones button >> nth=2")
    expect(page.locator("#tone-why")).to_contain_text("natural hair as light as it ends")
    expect(page.locator("#tone-salon")).to_be_hidden()
    page.tap("#tone-lights button >> nth=1")
    expect(page.locator("#tone-salon-name")).to_have_text("Warm bulbs")
    last = page.locator("#tone-fade figcaption").last
    expect(last).to_contain_text("faded, wash 7")
    then = last.inner_text()
    page.tap("#tone-washes button >> text=1")
    expect(last).not_to_have_text(then)
    page.tap("#tone-kinds button >> nth=0")
    expect(last).to_contain_text("after a year")
    page.tap("#tone-use")
    goal, table = kept("ends", "goal")
    assert goal == "tone"
    assert table["salon"]["light"] == "bulb"
    assert table["assumptions"]["washes_per_week"] == 1
    assert kept("ends")[0]["kind"] == "permanent"


def test_laboratory_numbers_are_shown_to_who_asks_only_and_nothing_is_wider_than_the_phone(step):
    page, _ = step
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    expect(page.locator("#tone-steps li").first).to_be_visible()
    assert "dE00" not in page.inner_text("#tone-step")
    expect(page.locator("#tone-circle")).to_be_hidden()
    page.evaluate("document.documentElement.dataset.exact = 'true'")
    expect(page.locator("#tone-circle svg")).to_be_visible()
    assert "dE00" in page.inner_text("#tone-exact")
    for width, letters in ((320, "100%"), (390, "200%")):
        page.set_viewport_size({"width": width, "height": 740})
        page.evaluate("size => document.documentElement.style.fontSize = size", letters)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate(
        "[...document.querySelectorAll('#tone-step :is(button, summary, input)')]"
        ".filter(e => e.offsetParent && e.getBoundingClientRect().height < 44).map(e => e.id)"
    )
    assert small == []
    page.evaluate("document.querySelector('#tone-now').open = true")
    found = axe.Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
