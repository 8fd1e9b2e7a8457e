"""The step "What to use" in a real browser: what is told follows what is moved, and only that."""

import re
from io import BytesIO
from itertools import combinations, pairwise

import numpy as np
import pytest
from oracles.screen import LIKE, off
from PIL import Image

from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.practice.cautions import ALWAYS
from lift.show.lock.shades import ground

pytestmark = pytest.mark.slow

SIZES = ("phone", "desktop")
FRESH = "#use-plan:not([hidden]):not([data-stale])"
LABORATORY = re.compile(r"dC\*|dE00|\b[Lab]\*|CIELAB|Munsell|\bpH\b|\bum\b|radius")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

MOUNT = """async ([asked, mixture, minutes]) => {
  const page = document.querySelector("script[src$='main.js']").src;
  const { Panel } = await import(page.replace("main", "panel"));
  const room = document.createElement("section");
  window.rested = [];
  window.reached = null;
  window.panel = new Panel({
    label: "base", onset: (set) => window.rested.push(set), onreach: (to) => (window.reached = to),
  });
  document.getElementById("visits").hidden = true;
  document.getElementById("room").append(room);
  room.append(window.panel.root);
  window.panel.set({ asked, mixture, minutes });
}"""


def until(page, true):
    """Wait for an expression; the page's policy lets nobody evaluate one within it."""
    for _ in range(400):
        if page.evaluate(true):
            return
        page.wait_for_timeout(50)
    raise AssertionError(true)


def squeezed(text):
    return " ".join(text.split())


@pytest.fixture
def panel(served, visit):
    """Mount a panel by itself, and wait until it has told something."""

    def mount(asked, mixture, minutes, size="phone"):
        visitor = visit(served.url, size)
        page = visitor.open()
        page.evaluate(MOUNT, [asked, mixture, minutes])
        page.wait_for_selector(".panel-room[data-answered]")
        return visitor

    return mount


@pytest.fixture(scope="module")
def planned(served, chromium):
    """Open the step of a copy of a demo visit in a window of its own; once for all tests."""
    from show.page.conftest import Visitor

    visitor = Visitor(chromium, served.url, "phone")
    visitor.begin("blonde-refresh", "use")
    visitor.page.wait_for_selector(FRESH, timeout=60_000)
    yield visitor
    visitor.context.close()


def field(page, label):
    """Box, slider and error line of a number by its label."""
    root = page.locator(f".number-field:has(label:text-is('{label}'))")
    return root.locator(".box"), root.locator(".slider"), root.locator(".error")


@pytest.mark.parametrize("size", SIZES)
def test_what_is_told_follows_a_slider_and_rests_when_it_does(panel, size):
    page = panel(
        {"level": "6", "goal": "lighten 8.5"}, {"kind": "cream", "volume": 20}, 30, size
    ).page
    box, slider, _ = field(page, "Developer")
    slider.focus()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    page.wait_for_selector(".first-lines dd:has-text('22 vol')")
    assert box.input_value() == "22"
    shown = page.evaluate(
        "q => fetch(`/api/preview?${new URLSearchParams({...q, shown: true})}`)"
        ".then(r => r.json()).then(r => r.shown.plain)",
        page.evaluate("window.panel.query"),
    )
    told = [squeezed(line) for line in page.locator(".first-lines dd").all_inner_texts()]
    assert told == [shown[name] for name in ("mix", "rinse", "then_tone", "risk_words")]
    assert page.locator(".first-lines dt").all_inner_texts() == [
        "Mix",
        "Rinse",
        "Then tone",
        "Risk",
    ]
    until(page, "window.rested.length > 0")
    rested = page.evaluate("window.rested.at(-1)")
    assert (rested["mixture"]["volume"], rested["minutes"]) == (22, 30)


@pytest.mark.parametrize(
    ("label", "typed", "words"),
    [
        ("Minutes on the hair", "70", "0 to 60 min"),
        ("Developer", "90", "12 % H2O2"),
        ("Developer", "much", "much"),
    ],
)
def test_what_is_refused_leaves_no_verdict_in_full_ink(panel, label, typed, words):
    page = panel({"level": "6", "goal": "lighten 8"}, {"kind": "powder", "volume": 20}, 22).page
    struck = "getComputedStyle(document.querySelector('.first-lines dd:last-child'))"
    full = page.evaluate(f"{struck}.color")
    box, _, error = field(page, label)
    was = box.input_value()
    box.fill(typed)
    page.wait_for_selector("[data-stale] .panel-said:has-text('Not for these values')")
    assert words in error.inner_text()
    assert box.get_attribute("aria-invalid") == "true"
    assert error.get_attribute("id") in box.get_attribute("aria-describedby")
    assert "line-through" in page.evaluate(f"{struck}.textDecorationLine")
    assert page.evaluate(f"{struck}.color") != full
    box.blur()
    assert page.evaluate("window.rested") == []
    box.fill(was)
    page.wait_for_selector(".panel-room:not([data-stale])")
    assert page.evaluate(f"{struck}.color") == full
    assert error.inner_text() == ""


def test_without_a_connection_what_was_told_is_of_other_values(panel):
    visitor = panel({"level": "6", "goal": "lighten 8"}, {"kind": "powder", "volume": 20}, 22)
    page = visitor.page
    box, _, _ = field(page, "Developer")
    visitor.context.set_offline(True)
    box.fill("30")
    page.wait_for_selector("[data-stale] .panel-said:has-text('No connection')")
    box.fill("20")
    page.wait_for_selector(".panel-room:not([data-stale])")
    box.fill("30")
    page.wait_for_selector("[data-stale]")
    visitor.context.set_offline(False)
    page.wait_for_selector(".panel-room:not([data-stale]) dd:has-text('30 vol')")


def test_an_open_lightening_tells_what_it_passes_and_no_risk(panel):
    page = panel({"level": "6"}, {"kind": "powder", "volume": 20}, 35).page
    got = page.evaluate("window.panel.last.got")
    passes = [each["level"] for each in got["answer"]["passes"]]
    told = page.locator(".passed li").all_inner_texts()
    assert len(told) == len(passes) > 2
    assert all(f"level {level:g}, " in line for level, line in zip(passes, told, strict=True))
    assert page.locator(".first-lines dt").all_inner_texts() == ["Mix", "Rinse", "Passes"]
    verdict = page.inner_text(".verdict")
    assert "risk" not in verdict.lower()
    assert "Level 10+" in verdict
    ink = "getComputedStyle(document.querySelector('.risk strong')).color"
    assert page.evaluate(ink) == page.evaluate("getComputedStyle(document.body).color")
    assert page.locator(".warmth :is(.place, .window)").count() == 0
    assert page.locator(".warmth .window-edge").count() == len(passes)
    page.click(".passed button >> nth=1")
    assert page.evaluate("window.reached") == passes[1]


def bars_of(page):
    """Names below the bars of the time line, which follow one another without a gap."""
    names = [squeezed(text) for text in page.locator(".places li").all_inner_texts()]
    bars = page.eval_on_selector_all(
        ".warmth .place", "all => all.map(b => [+b.getAttribute('x'), +b.getAttribute('width')])"
    )
    assert len(bars) == len(names)
    for (x, width), (after, _) in pairwise(bars):
        assert x + width == pytest.approx(after, abs=0.01)
    return names


@pytest.mark.parametrize(
    ("mixture", "goal", "names"),
    [
        (
            {"kind": "base-break", "volume": 20},
            "blend natural",
            ["not lifted enough", "inside", "too warm for the goal"],
        ),
        (
            {"kind": "powder", "volume": 20},
            "lighten 8",
            ["not lifted enough", "inside", "too light for the goal"],
        ),
    ],
)
def test_every_minute_of_the_time_line_has_a_bar_and_its_name(panel, mixture, goal, names):
    page = panel({"level": "6", "goal": goal}, mixture, 10).page
    page.wait_for_selector(".places li")
    assert bars_of(page) == names


def test_dragging_with_the_mouse_moves_the_marker(panel):
    asked = {"level": "6", "goal": "lighten 8"}
    page = panel(asked, {"kind": "powder", "volume": 20}, 5, "desktop").page
    value, slider, _ = field(page, "Minutes on the hair")
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    middle = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + box["width"] / 6, middle)
    page.mouse.down()
    for step in range(1, 12):
        page.mouse.move(box["x"] + box["width"] * (1 / 6 + step / 30), middle)
        page.wait_for_timeout(15)
    assert page.evaluate("window.rested") == []
    page.mouse.up()
    minutes = float(value.input_value())
    assert minutes > 25
    page.wait_for_selector(f".locks figcaption:has-text('at {minutes:g} min')")
    until(page, "window.rested.length === 1")
    thumb = box["x"] + 8 + (box["width"] - 16) * minutes / 60
    marker = page.locator(".warmth .dot").bounding_box()
    assert abs(marker["x"] + marker["width"] / 2 - thumb) < 3


def pixels(element):
    with Image.open(BytesIO(element.screenshot())) as image:
        shown = np.asarray(image.convert("RGB"), dtype=float)
    # An edge that falls between two pixels has some of the page in it, which is lighter than hair.
    hair = np.abs(shown - int(ground()[1:3], 16)).max(axis=-1) > 3.0
    return shown / 255.0, hair & (shown.min(axis=-1) < 200.0)


@pytest.mark.parametrize("size", SIZES)
def test_what_the_browser_draws_has_the_colour_of_the_numbers(panel, size):
    page = panel({"level": "6"}, {"kind": "cream", "volume": 20}, 22, size).page
    page.wait_for_selector(".locks figcaption:has-text('at 22 min')")
    got = page.evaluate("window.panel.last.got")
    answer, labels = got["answer"], [lock["words"] for lock in got["shown"]["locks"]]
    now = answer["at"]["lab"]["median"]
    path = natural_path(default_curves())
    figures = page.locator(".panel .locks figure").all()
    assert [figure.locator("figcaption").inner_text() for figure in figures] == labels
    natural = path.levels_beside(now)[1]
    for figure, lab in zip(figures, [answer["curve"]["lab"][0], now, *natural], strict=True):
        shown, hair = pixels(figure.locator("svg"))
        assert 0.5 < hair.mean() < 0.95
        assert off(shown[hair], lab) < LIKE
    shown, hair = pixels(page.locator(".strip"))
    width = shown.shape[1]
    for share in (0.05, 0.3, 0.9):
        column = round(share * width)
        time = 60.0 * (column + 0.5 - 8.0) / (width - 16.0)
        curve = np.array(answer["curve"]["lab"])
        lab = [np.interp(time, answer["curve"]["minutes"], c) for c in curve.T]
        assert off(shown[hair[:, column], column], lab) < LIKE
    # The strip lies beside the natural levels between which it goes.
    scale = path.lab_of_level(np.arange(1.0, 11.0))
    for strip in page.locator(".strip-levels svg").all():
        level = int(strip.locator(".named").text_content().removeprefix("natural "))
        shown, hair = pixels(strip)
        shown, hair = shown[:, : shown.shape[1] // 3], hair[:, : shown.shape[1] // 3]
        assert off(shown[hair], scale[level - 1]) < 2.0 * LIKE


def test_grey_hair_is_drawn_as_both_kinds_and_as_seen(panel):
    asked = {"level": "6", "grey": "30"}
    page = panel(asked, {"kind": "cream", "volume": 20}, 20, "desktop").page
    names = [page.text_content(f".{strip} .named") for strip in ("pigmented", "strip")]
    assert names == ["pigmented fibres", "as seen"]
    assert page.locator(".warmth .blend").count() == 1
    captions = page.locator(".panel .locks figcaption")
    assert {"white fibres", "pigmented fibres"} <= set(captions.all_inner_texts())
    spans = captions.evaluate_all("all => all.map(c => [c.scrollWidth, c.clientWidth])")
    assert all(needed <= room for needed, room in spans)


def test_the_step_tells_what_is_mixed_before_anything_else_and_cautions_in_full(planned):
    page = planned.page
    got = page.evaluate(
        "import('/static/usekept.js').then(m => m.keptOf(location.hash.slice(1, 8), 'plan'))"
    )
    answer = got["got"]["answer"]
    first = next(z for z in answer["zones"] if z["zone"] == answer["order"][0])["bowl"]
    todo = planned.text("#use-todo")
    assert f"{first['product_grams']:.0f} g product" in todo
    assert f"{first['developer_grams']:.0f} g developer" in todo
    assert planned.text("#use-verdict") == got["got"]["shown"]["verdict"]
    said = planned.text("#use-cautions")
    assert all(str(line) in said for line in ALWAYS)
    assert page.locator("#use-cautions .special").count() > 0
    above = [
        page.locator(s).bounding_box()["y"] for s in ("#use-todo", "#use-cautions", "#use-start")
    ]
    assert above == sorted(above)
    assert page.get_attribute("#use-start", "href").endswith("/clock")


def test_the_map_has_every_section_between_those_it_is_woven_with(planned):
    page = planned.page
    answer = page.evaluate(
        "import('/static/usekept.js').then(m => m.keptOf(location.hash.slice(1, 8), 'plan'))"
    )["got"]["answer"]
    count = sum(len(zone["sections"]) for zone in answer["zones"])
    assert page.locator(".laid-hair").count() == count
    numbers = page.locator(".laid-number").all_text_contents()
    whose = [number.partition(".")[0] for number in numbers]
    assert len(numbers) == count
    assert "".join(whose) != "".join(sorted(whose))
    for zone, line in zip(
        answer["zones"], page.locator(".laid-words li").all_inner_texts(), strict=True
    ):
        assert line.startswith(f"{zone['zone']}: {len(zone['sections'])} ")
        assert "Woven between" in line
    assert page.locator(".drop").count() == 0


LAID = """async (laid) => {
  const page = document.querySelector("script[src$='main.js']").src;
  const { drawLaid } = await import(page.replace("main", "laidmap"));
  const target = document.createElement("div");
  document.getElementById("room").append(target);
  drawLaid(target, laid);
}"""


def test_the_map_shows_where_water_runs_and_where_a_fresh_bowl_is_mixed(served, visit):
    page = visit(served.url, "phone").open()
    shades = page.evaluate("fetch('/api/stages?shown=true').then(r => r.json())")["shown"][
        "natural"
    ][6]
    times = {"starts": 0.0, "laid": 6.0, "rinsed": 30.0, "thickness_mm": 2.0, "foils": False}
    foils = {
        **{"name": "foils", "order": 1, "foils": True, "woven": ["base"], "wet": True},
        **{
            "beside": [],
            "sections": [{"number": n + 1, "bowl": 1 + n // 6, "shades": shades} for n in range(9)],
        },
    }
    base = {
        **{"name": "base", "order": 2, "woven": ["foils"], "beside": [], "wet": False},
        "sections": [{"number": 1, "bowl": 1, "shades": shades}],
    }
    zones = [times | foils, times | base]
    lengths = {"name": "lengths", "beside": [], "shades": shades, "zones": []}
    roots = {"name": "roots", "beside": ["lengths"], "shades": shades, "zones": zones}
    page.evaluate(LAID, {"parts": [lengths, roots], "water": ["Water of the base runs over it."]})
    assert page.locator(".laid-map .drop").count() == page.locator(".foil").count() == 9
    assert page.locator(".bowl-line").count() == 1
    first, second = page.locator(".laid-words li").all_inner_texts()
    assert first.startswith("foils: 9 foils of 2 mm, from 0:00 to 6:00")
    assert "A fresh bowl before section 7." in first
    assert second.startswith("base: all at once")
    assert page.inner_text(".laid-water") == "Water of the base runs over it."
    # Roots lie left of the lengths, whatever is told first.
    left = [
        page.locator(f".laid-map text:text-is('{n}')").bounding_box()["x"]
        for n in ("roots", "lengths")
    ]
    assert left == sorted(left)


def test_a_number_that_was_moved_is_the_visits_and_the_plan_is_of_it(planned):
    page = planned.page
    page.locator(".use-zone summary").last.click()
    page.wait_for_selector(".use-zone[open] [data-answered]")
    name = page.locator(".use-zone[open] > summary").inner_text()
    box, _, _ = field(page.locator(".use-zone[open]"), "Developer")
    before = planned.text("#use-mixes")
    box.fill("20")
    assert page.locator(FRESH).count() == 1  # not asked while it moves
    box.blur()
    page.wait_for_selector("#use-plan[data-stale]")
    page.wait_for_selector(FRESH, timeout=60_000)
    assert planned.text("#use-mixes") != before
    visit = page.evaluate(
        "JSON.parse(localStorage.getItem(`lift.visit.${location.hash.slice(1, 8)}`)).visit"
    )
    zone = next(z for z in visit["zones"] if z["name"] == name)
    assert visit["mixtures"][zone["mixture"]]["volume"] == 20
    assert "minutes" not in zone
    # What is refused of the laying stands beside its field, and the plan is struck through.
    page.wait_for_timeout(600)
    bowls, _, error = field(page.locator(".use-zone[open]"), "Fresh bowls")
    bowls.fill("9")
    bowls.blur()
    page.wait_for_selector(".use-zone[open] .error:not(:empty)")
    assert "bowls" in error.inner_text()
    assert page.locator("#use-plan[data-stale]").count() == 1
    assert page.inner_text("#use-said").startswith("Not for these values")
    bowls.fill("1")
    bowls.blur()
    page.wait_for_selector(FRESH, timeout=60_000)


def test_numbers_of_a_laboratory_are_shown_to_who_asks_for_them(planned):
    page = planned.page
    page.evaluate("document.querySelectorAll('#use-step details').forEach(d => { d.open = true; })")
    page.wait_for_selector("#use-line-drawn text")
    assert LABORATORY.findall(planned.text("#use-step")) == []
    page.click(".settings summary")
    page.check("#exact")
    assert {"dC*", "pH"} <= set(LABORATORY.findall(planned.text("#use-step")))
    page.uncheck("#exact")
    page.click(".settings summary")


def test_sections_on_the_time_line_lie_above_named_natural_levels(planned):
    page = planned.page
    page.evaluate("document.querySelector('#use-line').open = true")
    page.wait_for_selector("#use-line-drawn text")
    # All at once: the line may be drawn anew between two questions.
    boxes = page.eval_on_selector_all(
        "#use-line-drawn text", "all => all.map(t => [t.textContent, t.getBoundingClientRect()])"
    )
    named = [text for text, _ in boxes if re.fullmatch(r"natural \d+", text)]
    assert len(named) == 2 * page.locator(".mix").count()
    # Letters lie over nothing that is written: heights of boxes reach past the letters by a bit.
    for (one, a), (two, b) in combinations(boxes, 2):
        beside = a["x"] + a["width"] <= b["x"] or b["x"] + b["width"] <= a["x"]
        above = abs(a["y"] - b["y"]) > 0.6 * min(a["height"], b["height"])
        assert beside or above, (one, two)


def test_no_barrier_is_found_and_nothing_is_cut_off(planned):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page = planned.page
    page.evaluate("document.querySelectorAll('#use-step details').forEach(d => { d.open = true; })")
    page.wait_for_selector(".use-zone [data-answered]")
    try:
        for width, size in ((320, "100%"), (390, "200%"), (844, "100%"), (1366, "100%")):
            page.set_viewport_size({"width": width, "height": 700})
            page.evaluate("s => { document.documentElement.style.fontSize = s; }", size)
            page.wait_for_timeout(200)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (width, size)
        for theme in ("light", "dark"):
            page.emulate_media(color_scheme=theme)
            what = TAGS if theme == "light" else {"type": "rule", "values": ["color-contrast"]}
            found = axe.Axe().run(page, options={"runOnly": what})
            assert found.violations_count == 0, found.generate_report()
    finally:
        page.evaluate("document.documentElement.style.fontSize = ''")
        page.set_viewport_size({"width": 360, "height": 740})


def test_a_reload_shows_at_once_what_was_worked_out(tmp_path, serve, visit):
    site = serve(tmp_path)
    visitor = visit(site.url, "phone")
    name = visitor.begin("darker-base", "use")
    page = visitor.page
    page.wait_for_selector(FRESH, timeout=60_000)
    assert planned_words(page) != ""
    before = planned_words(page)
    page.reload()
    page.wait_for_selector(FRESH)
    assert sum(u.endswith("/api/plan?shown=true") for u in visitor.asked) == 1
    assert planned_words(page) == before
    assert name in page.url


def planned_words(page):
    return page.inner_text("#use-mixes")


HAIR = {"natural_level": 7, "fibre": "fine", "damp": True, "along": "regrowth"}
ASKED = """async ([name, zones]) => {
  const { visit, revision } = await (await fetch(`/api/visits/${name}`)).json();
  const body = JSON.stringify({ visit: { ...visit, zones }, revision });
  const headers = { "Content-Type": "application/json" };
  await fetch(`/api/visits/${name}`, { method: "PUT", body, headers });
}"""


def test_one_of_the_ways_is_taken_and_all_are_asked_anew_when_the_wish_has_changed(
    tmp_path, serve, visit
):
    visitor = visit(serve(tmp_path).url, "phone")
    page = visitor.open()
    name = visitor.ask("/api/visits", {})["visit"]["visit"]["name"]
    page.evaluate(ASKED, [name, [{"name": "base", **HAIR}]])
    visitor.open(f"{name}/use")
    page.wait_for_selector("#use-todo:has-text('Say the wish first')")
    page.wait_for_timeout(1000)  # the page has kept at which step it stands
    page.evaluate(ASKED, [name, [{"name": "base", **HAIR, "goal": "blend 7.6"}]])
    page.reload()
    page.wait_for_selector("#use-old:has-text('worked out')")
    page.wait_for_selector(".one-way", timeout=120_000)
    got = page.evaluate(f"JSON.parse(localStorage.getItem('lift.use.{name}')).ways.got")
    cards = page.locator(".one-way")
    assert cards.count() == len(got["options"]) > 1
    for card, option in zip(cards.all(), got["options"], strict=True):
        text = squeezed(card.inner_text())
        (zone,) = option["zones"]
        assert f"{option['chance']} inside" in text
        assert all(squeezed(zone[what]) in text for what in ("risk", "slack"))
        drawn = card.locator("figcaption").all_inner_texts()
        assert drawn[1:] == [lock["words"] for lock in zone["locks"]]
    cards.nth(1).locator("button").tap()
    page.wait_for_selector(FRESH, timeout=60_000)
    page.click("#use-ways summary")
    page.wait_for_selector(".one-way[data-taken=true]")
    assert page.locator(".one-way[data-taken=true]").count() == 1
    assert cards.nth(1).get_attribute("data-taken") == "true"
    kept = visitor.ask(f"/api/visits/{name}")["visit"]
    take = got["options"][1]["take"]
    assert kept["zones"][0]["mixture"] == take["zones"]["base"]["mixture"]
    assert kept["mixtures"] == take["mixtures"]
    # A reload shows them at once; another wish makes them old.
    page.reload()
    page.wait_for_selector(".one-way[data-taken=true]", state="attached")
    page.evaluate(ASKED, [name, [{**kept["zones"][0], "goal": "blend 7.8"}]])
    page.reload()
    page.wait_for_selector("#use-cards[data-stale]", state="attached", timeout=60_000)
    page.wait_for_selector(
        "#use-cards:not([data-stale]) .one-way", state="attached", timeout=180_000
    )
    again = page.evaluate(f"JSON.parse(localStorage.getItem('lift.use.{name}')).ways.got")
    assert "level 7.8" in again["options"][0]["zones"][0]["risk"]
