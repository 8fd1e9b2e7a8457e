"""The page in a real browser: preview, plan, strand test and record, on a phone and on a desk."""

import json
import re
from io import BytesIO
from itertools import combinations, pairwise

import numpy as np
import pytest
from oracles.screen import LIKE, off
from PIL import Image
from playwright.sync_api import expect

from lift.make import bench_page
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.practice.goal import Blend, Lighten, Match, Tone, parse_goal
from lift.show.lock.shades import ground
from lift.show.page.pairing import Pairing

pytestmark = pytest.mark.slow

ROOMS = ("preview", "plan", "clock", "strand", "record")
SIZES = ("phone", "desktop")


def answered(page):
    """Number of answers shown so far."""
    return int(page.get_attribute("html", "data-answered"))


def wait_for_answer(page, after):
    page.wait_for_selector(f'html:not([data-answered="{after}"])', state="attached")


def aim(page, intent, named="", **parts):
    """Set the form's goal: an intent, what it is named as, and boxes by their name."""
    page.check(f"#aim-{intent}")
    if named:
        page.check(f"#what-{named}")
    for name, value in parts.items():
        page.fill(f"#goal-{name}-box", value)


def was_kept(visitor, question):
    """Let the browser have kept a form on an earlier visit."""
    kept = json.dumps({"at": 9e15, "question": question})
    visitor.page.add_init_script(f"localStorage.setItem('lift.state', {json.dumps(kept)})")


def typed_goal(page):
    """What the form asks for as the goal; None where it names none."""
    return page.evaluate("import('/static/preview.js').then(m => m.typedQuestion().goal ?? null)")


@pytest.mark.parametrize("size", SIZES)
def test_a_slider_asks_anew_and_shows_the_engines_numbers(served, visit, size):
    visitor = visit(served.url, size)
    page = visitor.open()
    before = answered(page)
    aim(page, "lighten", "level", level="8.5")
    page.focus("#level")
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    wait_for_answer(page, before)
    assert page.input_value("#level-box") == "6.5"
    page.wait_for_selector(".asked-words:has-text('natural level 6.5')", state="attached")
    query = "level=6.5&minutes=10&volume=20&fibre=70&temperature=30&grey=0&goal=lighten+8.5"
    shown = page.evaluate(f"fetch('/api/preview?{query}&shown=true').then(r => r.json())")["shown"]
    assert visitor.text("#window-words") == shown["window"]
    assert visitor.text("#level-words") == shown["level"]
    assert visitor.text("#warmth-words") == shown["warmth"]
    assert visitor.text("#tone-words") == shown["tone"]
    assert visitor.text("#side-words") == shown["side"][0]
    assert visitor.text("#risk").lower() == shown["risk"].lower()
    assert page.locator("#first dt").all_inner_texts() == ["Mix", "Rinse", "Then tone", "Risk"]
    first = [shown[name] for name in ("mix", "rinse", "then_tone", "risk_words")]
    said = page.locator("#first dd").all_inner_texts()
    assert [" ".join(line.split()) for line in said] == [" ".join(line.split()) for line in first]
    assert page.is_hidden("#passes")
    assert page.get_attribute("#level", "aria-valuetext") == "6.5"


@pytest.mark.parametrize("size", SIZES)
def test_every_minute_of_the_time_line_has_a_bar_and_its_name(served, visit, size):
    page = visit(served.url, size).open()
    page.check("input[name='mixture'][value='base-break']")
    page.wait_for_selector("#line-places li:has-text('past the limit')")
    assert bars_of(page) == [
        "not lifted enough",
        "inside",
        "too warm for the goal",
        "past the limit",
    ]
    page.check("input[name='mixture'][value='powder']")
    aim(page, "lighten", "level", level="8")
    page.click("label:has-text('120')")
    page.wait_for_selector("#line-places li:has-text('too light')")
    light = ["not lifted enough", "inside", "too light for the goal", "past the limit"]
    assert bars_of(page) == light


def bars_of(page):
    """Names below the bars of the time line, which follow one another without a gap."""
    names = [" ".join(text.split()) for text in page.locator("#line-places li").all_inner_texts()]
    bars = page.eval_on_selector_all(
        "#warmth .place", "all => all.map(b => [+b.getAttribute('x'), +b.getAttribute('width')])"
    )
    assert len(bars) == len(names)
    for (x, width), (after, _) in pairwise(bars):
        assert x + width == pytest.approx(after, abs=0.01)
    return names


@pytest.mark.parametrize("size", SIZES)
def test_an_open_lightening_tells_what_it_passes_and_is_not_timed(served, visit, size):
    visitor = visit(served.url, size)
    page = visitor.open()
    page.check("input[name='mixture'][value='powder']")
    page.wait_for_selector("#first-mix:has-text('powder')")
    address = "/api/preview?level=6&volume=20&minutes=10&mixture=powder&shown=true"
    got = page.evaluate(f"fetch('{address}').then(r => r.json())")
    rows = page.locator("#passes tbody tr")
    levels = [passed["level"] for passed in got["answer"]["passes"]]
    assert len(levels) == rows.count() > 2
    for row, cells in zip(rows.all(), got["shown"]["passes"], strict=True):
        said = row.locator("[data-head]").all_text_contents()
        assert [" ".join(cell.split()) for cell in said] == [" ".join(c.split()) for c in cells]
    # No verdict, and no window: the time line marks the levels that it shows.
    assert page.get_attribute(".risk", "data-risk") == "risk.open"
    ink = "getComputedStyle(document.querySelector('#risk')).color"
    assert page.evaluate(ink) == page.evaluate("getComputedStyle(document.body).color")
    assert page.is_hidden("#window-words")
    assert page.is_hidden("#side-words")
    assert page.locator("#warmth .place, #warmth .window").count() == 0
    shown = [p for p in got["answer"]["passes"] if p["minutes"] and p["minutes"] <= 30]
    assert page.locator("#warmth .window-edge").count() == len(shown) > 1
    assert "passes a level" in visitor.text("#line-key")
    page.click("#to-clock")
    assert "name a level" in visitor.text("#to-clock-error")
    assert page.is_visible("#preview-room")
    # A level that is passed becomes the goal, and then there is a time to rinse.
    page.click(f"button:has-text('Reach level {levels[1]:g}')")
    page.wait_for_selector("#passes", state="hidden")
    assert typed_goal(page) == f"lighten {levels[1]:g}"
    assert visitor.text("#to-clock-error") == ""
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.click("#to-clock")
    page.wait_for_selector("#clock-set:not([hidden])")


def test_where_no_minute_meets_the_goal_there_is_no_clock(served, visit):
    visitor = visit(served.url)
    page = visitor.open()
    aim(page, "match", lab="60,60,20")
    page.wait_for_selector("#first-rinse:has-text('no minute')")
    assert "no minute" in page.text_content("#warmth")
    page.click("#to-clock")
    assert "nothing to time" in visitor.text("#to-clock-error")
    assert page.is_visible("#preview-room")


GOALS = [
    (("any",), {}, None, None),
    (("blend", "natural"), {}, "blend", Blend()),
    (("blend", "natural"), {"warmth": "6"}, "blend warmth=6", Blend(warmth=6)),
    (("blend", "level"), {"level": "7.6"}, "blend 7.6", Blend(7.6)),
    (
        ("blend", "level"),
        {"level": "7.6", "warmth": "9", "tolerance": "4"},
        "blend 7.6 warmth=9 tolerance=4",
        Blend(7.6, 9, tolerance=4),
    ),
    (("blend", "lab"), {"lab": "54, 9, 27"}, "blend 54, 9, 27", Blend(lab=(54, 9, 27))),
    (("lighten", "level"), {"level": "9"}, "lighten 9", Lighten(9)),
    (("lighten", "stage"), {}, "lighten yellow", Lighten(stage="yellow")),
    (
        ("lighten", "level"),
        {"level": "8", "tolerance": "5"},
        "lighten 8 tolerance=5",
        Lighten(8, tolerance=5),
    ),
    (("match",), {"lab": "54,9,27"}, "match 54,9,27", Match((54, 9, 27))),
    (("tone",), {}, "tone", Tone()),
]


def test_the_form_types_each_goal_as_the_command_line_reads_it(served, visit):
    page = visit(served.url).open()
    for named, parts, typed, goal in GOALS:
        for box in ("warmth", "tolerance"):
            page.evaluate(f"document.getElementById('goal-{box}-box').value = ''")
        aim(page, *named, **parts)
        assert typed_goal(page) == typed
        assert goal is None or parse_goal(typed) == goal
    # Left as lightened, a warmth stands there to be moved.
    aim(page, "lighten", "level", level="8")
    page.check("#after-left")
    assert typed_goal(page) == f"lighten 8 warmth={page.input_value('#goal-warmth')}"
    assert page.is_hidden("#goal-tolerance-box")


KEPT = [
    ("any", "", None),
    ("any", "6", "blend warmth=6"),
    ("level", "", "lighten 8.5"),
    ("level", "6", "lighten 8.5 warmth=6"),
    ("lab", "", "match 60, 5, 20"),
    ("lab", "6", "match 60, 5, 20 warmth=6"),
]


@pytest.mark.parametrize(("was", "warmth", "goal"), KEPT)
def test_a_goal_that_an_older_page_kept_means_what_it_meant(served, visit, was, warmth, goal):
    """What was typed then is read without an intent: 8 lightens, a colour is matched."""
    visitor = visit(served.url)
    boxes = {"aim-level-box": "8.5", "aim-lab-box": "60, 5, 20", "allowance-box": warmth}
    question = {"boxes": {**boxes, "level-box": "5.5"}, "radios": {"aim": was, "mixture": "cream"}}
    was_kept(visitor, question)
    page = visitor.open()
    assert page.input_value("#level-box") == "5.5"
    assert typed_goal(page) == goal
    if goal is not None:
        old = {"any": "", "level": "8.5", "lab": "60, 5, 20"}[was]
        assert parse_goal(goal) == parse_goal(f"{old} {warmth and f'warmth={warmth}'}".strip())
    assert page.locator("input[name='aim']:checked").count() == 1


@pytest.mark.parametrize(
    ("named", "parts", "words"),
    [
        (("lighten", "level"), {"level": "12"}, "outside 1 to 10; nearest: 10"),
        (("lighten", "level"), {"level": ""}, "'lighten pale yellow'"),
        (("lighten", "level"), {"level": "3"}, "lightening cannot darken"),
        (("match",), {"lab": "54 9"}, "'match 54,9,27'"),
        (("blend", "natural"), {"warmth": "99"}, "0 to 60 dC*"),
    ],
)
def test_what_is_wrong_with_a_goal_stands_beside_it(served, visit, named, parts, words):
    page = visit(served.url).open()
    aim(page, *named, **parts)
    page.wait_for_selector("#goal-error:not(:empty)")
    assert words in page.inner_text("#goal-error")
    box = f"#goal-{next(iter(parts))}-box"
    assert page.get_attribute(box, "aria-invalid") == "true"
    apart = page.locator("#goal-error").bounding_box()["y"] - page.locator(box).bounding_box()["y"]
    assert -160 < apart < 160
    page.check("#aim-any")
    page.wait_for_selector("#goal-error:empty", state="attached")


def test_dragging_with_the_mouse_moves_the_marker(served, visit):
    page = visit(served.url).open()
    page.locator("#minutes").scroll_into_view_if_needed()
    box = page.locator("#minutes").bounding_box()
    page.mouse.move(box["x"] + box["width"] / 3, box["y"] + box["height"] / 2)
    page.mouse.down()
    for step in range(1, 12):
        page.mouse.move(box["x"] + box["width"] * (1 / 3 + step / 30), box["y"] + box["height"] / 2)
        page.wait_for_timeout(15)
    page.mouse.up()
    minutes = float(page.input_value("#minutes-box"))
    assert minutes > 15
    page.wait_for_selector(f"#locks figcaption:has-text('at {minutes:g} min')")
    thumb = box["x"] + 8 + (box["width"] - 16) * minutes / 30
    marker = page.locator("#warmth .dot").bounding_box()
    assert abs(marker["x"] + marker["width"] / 2 - thumb) < 3


@pytest.mark.parametrize("size", SIZES)
def test_grey_hair_is_drawn_as_both_kinds_and_as_seen(served, visit, size):
    page = visit(served.url, size).open()
    assert not page.locator("#pigmented").is_visible()
    assert page.locator("#warmth .blend").count() == 0
    page.fill("#grey-box", "30")
    page.wait_for_selector("#fibres li:has-text('Pigmented fibres, which decide')")
    assert page.locator("#fibres li").count() == 3
    assert page.locator("#pigmented").is_visible()
    names = [page.text_content(f"#{strip} .named") for strip in ("pigmented", "strip")]
    assert names == ["pigmented fibres", "as seen"]
    assert page.locator("#warmth .blend, #path .blend").count() == 2
    captions = page.locator("#locks figcaption")
    assert {"white fibres", "pigmented fibres"} <= set(captions.all_inner_texts())
    # No name runs into the next one's.
    spans = captions.evaluate_all("all => all.map(c => [c.scrollWidth, c.clientWidth])")
    assert all(needed <= room for needed, room in spans)
    page.fill("#grey-box", "0")
    page.wait_for_selector("#fibres:empty", state="attached")
    assert not page.locator("#pigmented").is_visible()


def pixels(element):
    with Image.open(BytesIO(element.screenshot())) as image:
        shown = np.asarray(image.convert("RGB"), dtype=float)
    # An edge that falls between two pixels has some of the page in it, which is lighter than hair.
    hair = np.abs(shown - int(ground()[1:3], 16)).max(axis=-1) > 3.0
    return shown / 255.0, hair & (shown.min(axis=-1) < 200.0)


@pytest.mark.parametrize("size", SIZES)
def test_what_the_browser_draws_has_the_colour_of_the_numbers(served, visit, size):
    page = visit(served.url, size).open()
    before = answered(page)
    page.fill("#minutes-box", "22")
    wait_for_answer(page, before)
    page.wait_for_selector("#locks figcaption:has-text('at 22 min')")
    query = page.evaluate("performance.getEntriesByType('resource').map(e => e.name)")
    asked = [address for address in query if "/api/preview?" in address][-1]
    got = page.evaluate(f"fetch('{asked}').then(r => r.json())")
    answer, labels = got["answer"], [lock["words"] for lock in got["shown"]["locks"]]
    now = answer["at"]["lab"]["median"]
    natural = natural_path(default_curves()).levels_beside(now)[1]
    figures = page.locator("#locks figure").all()
    assert [figure.locator("figcaption").inner_text() for figure in figures] == labels
    for figure, lab in zip(figures, [answer["curve"]["lab"][0], now, *natural], strict=True):
        shown, hair = pixels(figure.locator("svg"))
        assert 0.5 < hair.mean() < 0.95
        assert off(shown[hair], lab) < LIKE
    shown, hair = pixels(page.locator("#strip"))
    width = shown.shape[1]
    for share in (0.05, 0.3, 0.9):
        column = round(share * width)
        time = 30.0 * (column + 0.5 - 8.0) / (width - 16.0)
        curve = np.array(answer["curve"]["lab"])
        lab = [np.interp(time, answer["curve"]["minutes"], c) for c in curve.T]
        assert off(shown[hair[:, column], column], lab) < LIKE


def named_level(element):
    return int(element.locator(".named").text_content().removeprefix("natural "))


@pytest.mark.parametrize("size", SIZES)
def test_a_strip_lies_beside_the_natural_levels_of_the_time_that_is_shown(served, visit, size):
    page = visit(served.url, size).open()
    answered(page)
    strips, found = page.locator("#strip-levels svg").all(), {}
    scale = natural_path(default_curves()).lab_of_level(np.arange(1.0, 11.0))
    for span in ("15", "60"):
        page.check(f"input[name='span'][value='{span}']", force=True)
        found[span] = [named_level(strip) for strip in strips]
        for strip, level in zip(strips, found[span], strict=True):
            shown, hair = pixels(strip)
            # Left of the name, and within the lock, which sways.
            shown, hair = shown[:, : shown.shape[1] // 3], hair[:, : shown.shape[1] // 3]
            assert 0.5 < hair.mean() < 0.95
            assert off(shown[hair], scale[level - 1]) < 2.0 * LIKE
    # The longer it is looked at, the lighter it becomes; from the same level.
    assert found["15"][0] == found["60"][0]
    assert found["15"][1] < found["60"][1]


@pytest.mark.parametrize("size", SIZES)
def test_sections_of_a_plan_lie_above_named_natural_levels(served, visit, size):
    page = visit(served.url, size).open("plan")
    page.select_option("#plan-pick", "darker-base")
    page.wait_for_selector("#plan-outcome:not([hidden])")
    words = page.locator("#plan-line text").all()
    boxes = [(word.text_content(), word.bounding_box()) for word in words]
    named = [text for text, _ in boxes if re.fullmatch(r"natural \d+", text)]
    zones = page.locator("#plan-zones tbody tr").count()
    assert len(named) == 2 * zones
    whole = page.locator("#plan-line").bounding_box()
    for text, box in boxes:
        assert whole["x"] - 1 <= box["x"], text
        assert box["x"] + box["width"] <= whole["x"] + whole["width"] + 1, text
    # Letters lie over nothing that is written: heights of boxes reach past the letters by a bit.
    for (one, a), (two, b) in combinations(boxes, 2):
        beside = a["x"] + a["width"] <= b["x"] or b["x"] + b["width"] <= a["x"]
        above = abs(a["y"] - b["y"]) > 0.6 * min(a["height"], b["height"])
        assert beside or above, (one, two)


def test_earlier_lightening_starts_from_a_level(served, visit):
    page = visit(served.url).open()
    page.check("#history")
    assert page.input_value("#lightened_to-box") == "7.0"
    page.fill("#lightened_to-box", "")
    page.wait_for_selector("#lightened_to-error:not(:empty)")
    page.uncheck("#history")
    page.wait_for_selector("#lightened_to-error:empty", state="attached")


@pytest.mark.parametrize(
    ("box", "typed", "words"),
    [
        ("#level-box", "11", "natural level 11 is outside 1 to 10; nearest: 10"),
        ("#fibre-box", "thick", "fine, medium, coarse"),
        ("#volume-box", "90", "12 % H2O2"),
        ("#minutes-box", "500", "0 to 120 min"),
    ],
)
def test_what_is_wrong_stands_beside_its_field(served, visit, box, typed, words):
    page = visit(served.url).open()
    error = box.replace("-box", "-error")
    page.fill(box, typed)
    page.wait_for_selector(f"{error}:not(:empty)")
    assert words in page.inner_text(error)
    assert page.get_attribute(box, "aria-invalid") == "true"
    assert error.lstrip("#") in page.get_attribute(box, "aria-describedby")
    below = page.locator(error).bounding_box()["y"] - page.locator(box).bounding_box()["y"]
    assert 0 < below < 160
    page.fill(box, "fine" if box == "#fibre-box" else "10")
    page.wait_for_selector(f"{error}:empty", state="attached")
    assert page.get_attribute(box, "aria-invalid") is None


@pytest.mark.parametrize("size", SIZES)
def test_a_plan_is_opened_edited_kept_and_taken_to_the_clock(served, visit, size):
    visitor = visit(served.url, size)
    page = visitor.open("plan")
    page.select_option("#plan-pick", "darker-base")
    page.wait_for_selector("#plan-outcome:not([hidden])")
    assert "NO ORDER KEEPS ALL INSIDE" in visitor.text("#plan-verdict")
    text = page.input_value("#plan-text")
    page.fill("#plan-text", text.replace("volume = ", "volume = 900 #", 1))
    page.click("#plan-run")
    page.wait_for_selector("#text-error:not(:empty)")
    assert "line" in visitor.text("#text-error")
    assert page.is_hidden("#plan-outcome")
    assert page.get_attribute("#plan-text", "aria-invalid") == "true"
    page.fill("#plan-text", text.replace('title = "', 'title = "Mine, ', 1))
    page.click("#plan-run")
    page.wait_for_selector("#plan-outcome:not([hidden])")
    assert visitor.text("#plan-name-shown").startswith("Mine, ")
    assert page.get_attribute("#plan-card", "href") is None
    page.fill("#plan-name", "mine")
    page.click("#plan-keep")
    page.wait_for_selector("#plan-card[href='/card/mine']")
    with visitor.context.expect_page() as opened:
        page.click("#plan-card")
    expect(opened.value).to_have_title(re.compile("Mine, "))
    page.click("#plan-clock")
    page.wait_for_selector("#clock-set:not([hidden])")
    assert visitor.text("#clock-plan").startswith("Mine, ")


@pytest.mark.parametrize("size", SIZES)
def test_a_strand_test_moves_the_preview(served, visit, size):
    visitor = visit(served.url, size)
    page = visitor.open()
    aim(page, "lighten", "level")
    visitor.enter("strand")
    page.fill("#look-1-at", "five")
    page.fill("#look-1-what", "6.4")
    page.click("#strand-run")
    page.wait_for_selector("#seen-error:not(:empty)")
    page.fill("#look-1-at", "20")
    page.fill("#look-1-what", "7.3")
    page.click("#strand-run")
    page.wait_for_selector("#strand-outcome:not([hidden])")
    assert "level 7.3 at 20 min" in visitor.text("#strand-seen")
    assert "narrower" in visitor.text("#strand-moved")
    assert "at the latest" in visitor.text("#strand-first-rinse")
    visitor.enter("preview")
    before = visitor.text("#window-words")
    visitor.enter("strand")
    page.click("#strand-keep")
    page.wait_for_selector("#strand-forget:not([hidden])")
    visitor.enter("preview")
    page.wait_for_selector("#strand:checked")
    page.wait_for_function(
        "b => document.getElementById('window-words').innerText !== b", arg=before
    )
    page.fill("#level-box", "5")
    page.wait_for_selector("#strand-error:not(:empty)")
    assert "of other hair" in visitor.text("#strand-error")


def test_nobody_sees_anothers_plan_and_a_restart_loses_nothing(tmp_path, serve, visit):
    site = serve(tmp_path)
    one, two = visit(site.url), visit(site.url)
    page = one.open()
    page.fill("#level-box", "4.5")
    page.fill("#volume-box", "30")
    one.enter("plan")
    page.select_option("#plan-pick", "darker-base")
    page.wait_for_selector("#plan-outcome:not([hidden])")
    page.fill("#plan-name", "hers")
    page.click("#plan-keep")
    page.wait_for_selector("#plan-card[href]")
    page.wait_for_timeout(1000)
    other = two.open("plan")
    assert "hers" not in other.inner_text("#plan-pick")
    assert other.input_value("#level-box") == "6"
    site.stop()
    one.enter("preview")
    page.fill("#level-box", "4.6")
    page.wait_for_selector("#link:not(:empty)", state="attached")
    again = serve(tmp_path, port=site.port)
    assert again.url == site.url
    page.wait_for_selector("#link:empty", state="attached")
    page.wait_for_timeout(500)
    page.evaluate("localStorage.clear()")
    page.reload()
    page.wait_for_selector("html[data-answered]", state="attached")
    assert page.input_value("#level-box") == "4.6"
    assert page.input_value("#volume-box") == "30"
    one.enter("plan")
    assert "hers" in page.inner_text("#plan-pick")


def test_no_barrier_is_found_in_any_room(served, visit):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    visitor = visit(served.url)
    page = visitor.open()
    fill_every_room(visitor)
    for width, height in ((360, 740), (1366, 860)):
        page.set_viewport_size({"width": width, "height": height})
        for theme in ("light", "dark"):
            page.emulate_media(color_scheme=theme)
            # Only contrast differs between the two looks.
            what = TAGS if theme == "light" else {"type": "rule", "values": ["color-contrast"]}
            for room in ROOMS:
                visitor.enter(room)
                page.wait_for_selector(f"#{room}-room:not([hidden])")
                found = axe.Axe().run(page, options={"runOnly": what})
                assert found.violations_count == 0, (room, theme, found.generate_report())
                assert page.evaluate("document.documentElement.scrollWidth") <= width, room


TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def fill_every_room(visitor):
    page = visitor.page
    page.click("details summary >> nth=0")
    page.check("#history")
    page.fill("#grey-box", "30")
    aim(page, "lighten", "level")
    page.check("#carry-own")
    visitor.enter("plan")
    page.select_option("#plan-pick", "darker-base")
    page.wait_for_selector("#plan-outcome:not([hidden])")
    page.click("#plan-clock")
    page.click("#press")
    visitor.enter("strand")
    page.click("#strand-run")
    page.wait_for_selector("#strand-outcome:not([hidden])")


def test_the_keyboard_alone_does_everything(served, visit):
    visitor = visit(served.url)
    was_kept(visitor, {"radios": {"aim": "lighten", "what": "level"}})
    page = visitor.open()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    seen = set()
    for _ in range(80):
        page.keyboard.press("Tab")
        seen.add(page.evaluate("document.activeElement.id || document.activeElement.hash || ''"))
    expected = {"level", "level-box", "fibre", "damp", "history", "grey", "red", "volume"}
    expected |= {"minutes", "minutes-box", "mixture-1", "theme"}
    expected |= {"aim-lighten", "what-level", "goal-level", "after-toned", "goal-tolerance-box"}
    expected |= {"span-30", "#plan", "#clock", "#strand", "#record", "to-clock"}
    assert expected <= seen
    page.focus('.rooms a[href="#clock"]')
    page.keyboard.press("Enter")
    page.wait_for_selector("#clock-room:not([hidden])")
    page.focus('#clock-none a[href="#preview"]')
    page.keyboard.press("Enter")
    page.focus("#to-clock")
    page.keyboard.press("Enter")
    page.wait_for_selector("#clock-set:not([hidden])")
    page.focus("#press")
    page.keyboard.press("Space")
    page.wait_for_selector("#press:has-text('Applied')")


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_look_can_be_chosen_and_stays(tmp_path, serve, visit, theme):
    visitor = visit(serve(tmp_path).url, theme="dark" if theme == "light" else "light")
    page = visitor.open()
    other = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    page.select_option("#theme", theme)
    chosen = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    assert chosen != other
    page.wait_for_timeout(900)
    page = visitor.open()
    assert page.evaluate("getComputedStyle(document.documentElement).backgroundColor") == chosen


def test_stale_answers_are_dropped(served, visit):
    """An older answer that comes late is not shown over a newer one."""
    page = visit(served.url).open()
    shown = page.evaluate(
        """async () => {
          const { Newest } = await import("/static/ask.js");
          const shown = [], asked = [];
          const waits = { a: 3000, b: 10, c: 10 };
          const newest = new Newest(
            (q, { signal }) => new Promise((resolve, reject) => {
              asked.push(q);
              const timer = setTimeout(() => resolve(q), waits[q]);
              signal.addEventListener("abort", () => {
                clearTimeout(timer);
                reject(new DOMException("", "AbortError"));
              });
            }),
            (answer) => shown.push(answer),
            (error) => shown.push(String(error)),
          );
          newest.want("a");
          newest.want("b");
          await new Promise((r) => setTimeout(r, 2100));
          newest.want("c");
          await new Promise((r) => setTimeout(r, 2500));
          return { shown, asked };
        }"""
    )
    assert shown == {"shown": ["c"], "asked": ["a", "c"]}


def test_the_benchmark_pauses_as_the_page_does(served, visit):
    page = visit(served.url).open()
    cases = [[0, 0, 90], [0, 16, 41], [0, 500, 600], [30, 15, 45], [30, 20, 45], [900, 0, 5]]
    cases += [[3000, 40, 80], [4000, 4900, 5000]]
    told = page.evaluate(
        """async (cases) => {
          const { nextPause } = await import("/static/ask.js");
          return cases.map((one) => nextPause(...one));
        }""",
        cases,
    )
    assert told == pytest.approx([bench_page.next_pause(*case) for case in cases])


def test_cautions_are_in_sight_in_every_room_that_shows_a_mixture_or_a_time(served, visit):
    from lift.practice.cautions import ALWAYS

    visitor = visit(served.url)
    visitor.open()
    fill_every_room(visitor)
    for room in ROOMS:
        visitor.enter(room)
        shown = visitor.page.inner_text(f"#{room}-room .cautions")
        assert all(str(line) in shown for line in ALWAYS), room


@pytest.mark.parametrize("size", SIZES)
def test_a_plan_says_first_what_is_done_and_what_is_special_apart(served, visit, size):
    from lift.practice.cautions import ALWAYS

    visitor = visit(served.url, size)
    page = visitor.open("plan")
    page.select_option("#plan-pick", "grey-blending")
    page.wait_for_selector("#plan-outcome:not([hidden])")
    names = page.locator("#plan-first dt").all_inner_texts()
    assert names == ["Mix", "Rinse", "Then tone", "Risk"] * 2
    said = page.locator("#plan-first dd").all_inner_texts()
    assert all("g product" in line for line in said[::4])
    assert all("inside for" in line for line in said[3::4])
    special = page.locator("#plan-cautions .special").all_inner_texts()
    lines = page.locator("#plan-cautions li").all_inner_texts()
    assert any("Persulfate" in line for line in special)
    assert lines[: len(special)] == special
    assert lines[len(special) :] == [str(line) for line in ALWAYS]
    # Where nothing special was found, nothing stands out.
    visitor.enter("record")
    assert page.locator("#record-cautions .special").count() == 0
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_device_is_paired_by_typing_the_code(tmp_path, serve, visit):
    pairing = Pairing()
    site = serve(tmp_path, pairing=pairing)
    visitor = visit(site.url, "phone")
    page = visitor.page
    page.goto(site.url)
    assert page.url.endswith("/pair")
    page.fill("#code", "1234 5678" if pairing.code != "12345678" else "8765 4321")
    page.click("button")
    assert "not the code" in page.inner_text("#wrong")
    page.fill("#code", f"{pairing.code[:4]} {pairing.code[4:]}")
    page.click("button")
    page.wait_for_selector("html[data-answered]", state="attached")
    assert page.inner_text("#risk") != "-"
    assert visit(site.url).page.goto(site.url).url.endswith("/pair")
