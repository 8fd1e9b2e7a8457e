"""What is drawn to be picked from: locks of levels, the head and its hair, the ruler."""

import numpy as np
import pytest
from playwright.sync_api import expect

from lift.model.curves import default_curves
from lift.model.stages import underpigment_ladder

MOUNT = """async ([file, make, options]) => {
  const module = await import(new URL(`${file}.js`, document.querySelector("script[src]").src));
  const target = document.createElement("div");
  target.id = "drawn";
  document.getElementById("drawn")?.remove();
  document.getElementById("room").hidden = true;
  document.getElementById("room").before(target);
  window.told = [];
  const tell = (...what) => window.told.push(what);
  window.made = module[make](target, { ...options, onpick: tell, ontap: tell });
}"""


def mount(visitor, file, make, **options):
    """Show one drawing on the page by itself; what it tells is kept in `told`."""
    page = visitor.page
    page.goto(visitor.url)
    page.wait_for_selector("html[data-ready]", state="attached")
    page.evaluate(MOUNT, [file, make, options])
    return page


def told(page):
    return page.evaluate("window.told")


def test_locks_to_pick_from_are_those_of_the_table(browser):
    shown = browser.get("/api/stages?shown=true").json["shown"]
    for name in ("natural", "underpigment"):
        assert shown["scales"][name]["locks"][::10] == shown[name]
    assert shown["scales"]["red"]["locks"][::10] != shown["natural"]
    assert {len(scale["locks"]) for scale in shown["scales"].values()} == {91}
    assert shown["scales"]["underpigment"]["words"][8] == "pale yellow"


def test_the_ladder_between_its_rungs():
    ladder = underpigment_ladder(default_curves())
    between = ladder.lab_of_level([[6.0, 6.5], [0.0, 12.0]])
    halfway = (ladder.lab[5] + ladder.lab[6]) / 2.0
    assert np.allclose(between, [[ladder.lab[5], halfway], [ladder.lab[0], ladder.lab[9]]])
    assert np.isnan(ladder.lab_of_level(np.nan)).all()


@pytest.mark.slow
def test_a_level_is_tapped_dragged_and_typed_by_arrows(served, visit):
    visitor = visit(served.url, "phone")
    page = mount(visitor, "levels", "levelPicker", label="Level", value=None, low=4.7)
    words = page.locator("#drawn .levels-words")
    expect(words).to_have_text("tap a lock")
    page.tap('#drawn [role="radio"] >> nth=6')
    expect(words).to_have_text("7")
    box = page.locator('#drawn [role="radio"]').nth(7).bounding_box()
    middle = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + 0.5 * box["width"], middle)
    page.mouse.down()
    page.mouse.move(box["x"] + 0.9 * box["width"], middle, steps=4)
    page.mouse.up()
    expect(words).to_have_text("8.4, between 8 and 9")
    expect(page.get_by_role("radio", name="8")).to_be_checked()
    page.keyboard.press("Tab")
    page.focus('#drawn [role="radio"][tabindex="0"]')
    page.keyboard.press("ArrowRight")
    expect(words).to_have_text("8.5, between 8 and 9")
    page.keyboard.press("ArrowUp")
    page.get_by_role("button", name="Level: a tenth darker").click()
    expect(words).to_have_text("9.4, between 9 and 10")
    # Nothing darker than is allowed can be picked, in none of these ways.
    expect(page.get_by_role("radio", name="4")).to_be_disabled()
    page.focus('#drawn [role="radio"][tabindex="0"]')
    page.keyboard.press("Home")
    expect(words).to_have_text("4.7, between 4 and 5")
    levels = [level for (level,) in told(page)]
    assert levels[0] == 7
    assert levels[-5:] == [8.4, 8.5, 9.5, 9.4, 4.7]
    # Locks are there without a connection, once this browser has seen them.
    page.wait_for_function("localStorage.getItem('lift.scales')")
    visitor.page.route("**/api/stages*", lambda route: route.abort())
    mount(visitor, "levels", "levelPicker", label="Level", value=8, scale="underpigment")
    expect(page.get_by_role("radio", name="8, yellow")).to_be_checked()
    assert page.locator("#drawn .level .lock").count() == 10


HEAD = {
    "zones": [
        {"name": "base", "number": 1, "head": [], "along": "regrowth"},
        {"name": "bright", "number": 2, "head": ["front", "top"], "along": "foils"},
    ],
    "chosen": "bright",
    "along": "foils",
}


@pytest.mark.slow
def test_the_head_shows_what_lies_where_and_tells_what_is_tapped(served, visit):
    page = mount(visit(served.url, "phone"), "head", "drawHead", **HEAD)
    front = page.get_by_role("button", name="front, zone 2")
    expect(front).to_have_attribute("aria-pressed", "true")
    front.tap()
    page.get_by_role("button", name="back, nothing yet").focus()
    page.keyboard.press("Enter")
    page.get_by_role("radio", name="regrowth, zone 1").tap()
    page.get_by_role("button", name="back, zone 1").tap()
    taps = [(t["place"], t["along"], [z["name"] for z in t["zones"]]) for (t,) in told(page)]
    assert taps == [
        ("front", "foils", ["bright"]),
        ("back", "foils", []),
        ("back", "regrowth", ["base"]),
    ]
    page.keyboard.press("Shift+Tab")
    page.get_by_role("radio", name="regrowth").focus()
    page.keyboard.press("ArrowUp")
    expect(page.get_by_role("radio", name="foils, zone 2")).to_be_checked()
    for part in page.locator("#drawn .head-part path").all():
        box = part.bounding_box()
        assert min(box["width"], box["height"]) >= 36, box


CARD_MM = 85.6


@pytest.mark.slow
def test_a_ruler_is_true_once_a_card_was_held_to_it(served, visit):
    visitor = visit(served.url, "desktop")
    page = mount(visitor, "ruler", "ruler", label="Regrowth", value=None)
    expect(page.locator("#drawn").get_by_text("Not to scale yet.")).to_be_visible()
    page.get_by_role("button", name="Set it with a bank card").click()
    edge = page.get_by_role("slider", name="Lower edge of the card")
    box = edge.bounding_box()
    at = float(page.get_attribute(".card-grip", "cy"))
    page.mouse.move(box["x"] + 9, box["y"] + at)
    page.mouse.down()
    page.mouse.move(box["x"] + 9, box["y"] + 5.0 * CARD_MM, steps=3)
    page.mouse.up()
    page.get_by_role("button", name="It fits").click()
    expect(page.locator("#drawn").get_by_text("Drawn to scale.")).to_be_visible()
    scale = page.get_by_role("slider", name="Regrowth").bounding_box()
    page.mouse.click(scale["x"] + 5.0 * 18.2, scale["y"] + 20)
    expect(page.locator("#drawn .levels-words")).to_have_text("18 mm")
    page.keyboard.press("ArrowRight")
    page.get_by_role("button", name="Regrowth: a millimetre longer").click()
    assert told(page) == [[18], [19], [20]]
    # It is kept, and stays true when the page is made larger.
    mount(visitor, "ruler", "ruler", label="Regrowth", value=12)
    expect(page.locator("#drawn").get_by_text("Drawn to scale.")).to_be_visible()
    ends = page.evaluate("document.querySelector('#drawn .ruler-mark').getAttribute('d')")
    assert float(ends[1:].split()[0]) == pytest.approx(60.0, abs=0.3)


@pytest.mark.slow
@pytest.mark.parametrize("width", [320, 360])
def test_a_ruler_stands_upright_where_six_centimetres_do_not_lie(served, visit, width):
    visitor = visit(served.url, "phone")
    visitor.page.set_viewport_size({"width": width, "height": 700})
    page = mount(visitor, "ruler", "ruler", label="Regrowth", value=None)
    scale = page.get_by_role("slider", name="Regrowth")
    expect(scale).to_have_attribute("aria-orientation", "vertical")
    box = scale.bounding_box()
    mm = page.evaluate(
        """async () => {
          const from = document.querySelector("script[src]").src;
          return (await import(new URL("scale.js", from))).pixelsPerMm();
        }"""
    )
    page.touchscreen.tap(box["x"] + 20, box["y"] + 60 * mm - 1)
    expect(page.locator("#drawn .levels-words")).to_have_text("60 mm")
    page.touchscreen.tap(box["x"] + 20, box["y"] + 12 * mm)
    expect(page.locator("#drawn .levels-words")).to_have_text("12 mm")
    drawn = page.locator("#drawn .ruler-mark").bounding_box()
    assert drawn["y"] + drawn["height"] / 2 - box["y"] == pytest.approx(12 * mm, abs=0.6)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    # Turned, it lies along the longer side.
    page.set_viewport_size({"width": 700, "height": width})
    expect(scale).to_have_attribute("aria-orientation", "horizontal")
    assert told(page) == [[60], [12]]
