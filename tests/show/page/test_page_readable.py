"""Every step can be read: in large letters on a small phone, in sunlight, and without sight."""

import pytest

STEPS = ("", "hair", "wish", "use", "clock", "tone", "after")
LARGE = 32
"""Letters of twice the usual size [px]."""

WIDER = """() => {
  for (const each of document.querySelectorAll("details")) each.open = true;
  const wide = document.documentElement.clientWidth;
  const found = [];
  for (const each of document.body.querySelectorAll("*")) {
    const { right, width } = each.getBoundingClientRect();
    if (width > 0 && right > wide + 0.5) found.push(`${each.tagName}.${each.className} ${right}`);
  }
  return document.documentElement.scrollWidth > wide ? found.slice(0, 6) : [];
}"""

LETTER_BY_LETTER = """() => [...document.body.querySelectorAll("*")]
  .filter((each) => each.checkVisibility() && !each.closest("svg"))
  .filter((each) => [...each.childNodes].some((n) => n.nodeType === 3 && n.data.trim().length > 9))
  .filter((each) => each.clientWidth > 1 && getComputedStyle(each).display !== "inline")
  .map((each) => [each.clientWidth / parseFloat(getComputedStyle(each).fontSize), each])
  .filter(([letters]) => letters < 3.2)
  .map(([letters, each]) => `${each.className || each.tagName}: ${each.textContent.slice(0, 20)}`)
"""

CONTRAST = """(selector) => {
  const channel = (c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
  const numbers = (text) => text.match(/[\\d.]+/g).map(Number);
  const light = ([r, g, b]) =>
    0.2126 * channel(r / 255) + 0.7152 * channel(g / 255) + 0.0722 * channel(b / 255);
  const ground = (at) => {
    for (; at; at = at.parentElement) {
      const [r, g, b, a = 1] = numbers(getComputedStyle(at).backgroundColor);
      if (a === 1) return [r, g, b];
    }
    throw new Error("no ground");
  };
  return [...document.querySelectorAll(selector)]
    .filter((each) => each.checkVisibility() && each.textContent.trim())
    .map((each) => {
      const pair = [light(numbers(getComputedStyle(each).color)), light(ground(each))];
      const [dark, bright] = pair.sort((a, b) => a - b);
      return [(bright + 0.05) / (dark + 0.05), each.textContent.trim().slice(0, 40)];
    });
}"""

SMALL = """() => [...document.querySelectorAll("button, .button, summary, select, nav a")]
  .filter((each) => each.checkVisibility())
  .map((each) => [each.getBoundingClientRect(), each.id || each.className || each.tagName])
  .filter(([{ width, height }]) => width < 43.5 || height < 43.5)
  .map(([{ width, height }, name]) => `${name}: ${width} x ${height}`)
"""


@pytest.fixture
def begun(served, visit):
    """A visit like a demo, on a window that is opened at any of its steps."""

    def begin(size="phone", theme="light", width=None, height=740):
        visitor = visit(served.url, size, theme)
        page = visitor.page
        page.goto(served.url)
        page.wait_for_selector("html[data-ready]", state="attached")
        if width is not None:
            page.set_viewport_size({"width": width, "height": height})
        name = page.evaluate(
            "fetch('/api/visits', {method: 'POST', body: JSON.stringify({like: 'blonde-refresh'}), "
            "headers: {'Content-Type': 'application/json'}}).then(r => r.json())"
        )["visit"]["visit"]["name"]
        return page, name

    return begin


def enter(page, name, step):
    page.evaluate("where => { location.hash = where; }", f"#{name}/{step}" if step else "#")
    shown = f"#{step}-step:not([hidden])" if step else "#visits-demo li"
    page.wait_for_selector(shown)
    page.wait_for_timeout(300)  # what a step asks for when it is opened


def steps_of(page, name):
    for step in STEPS:
        enter(page, name, step)
        yield step or "visits"


@pytest.mark.parametrize(("width", "letters"), [(320, "of the page"), (390, "of the browser")])
def test_large_letters_fit_a_small_phone(begun, width, letters):
    page, name = begun(width=width)
    if letters == "of the page":
        page.evaluate("document.documentElement.style.fontSize = '200%'")
    else:
        link = page.context.new_cdp_session(page)
        link.send("Page.setFontSizes", {"fontSizes": {"standard": LARGE, "fixed": LARGE}})
    for step in steps_of(page, name):
        assert page.evaluate("getComputedStyle(document.documentElement).fontSize") == f"{LARGE}px"
        assert page.evaluate(WIDER) == [], step
        assert page.evaluate(LETTER_BY_LETTER) == [], step


def test_lying_on_its_side_it_shows_what_is_to_be_done(begun):
    page, name = begun(width=740, height=360)
    for step in steps_of(page, name):
        assert page.evaluate(WIDER) == [], step
        todo = page.query_selector(f"#{step}-todo")
        if todo is not None:
            box = todo.bounding_box()
            assert box["y"] + min(box["height"], 40) <= 360, step


TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
WITHOUT_STROKES = """() => {
  for (const each of document.querySelectorAll("svg.lock, svg.patterns")) each.replaceChildren();
}"""
"""Strokes that hair is drawn of, nine elements in ten, have neither words nor parts to touch."""

CONTRAST_ONLY = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
ALL_BUT_CONTRAST = {"runOnly": TAGS, "rules": {"color-contrast": {"enabled": False}}}
"""Nothing else differs between the two looks, and colours do not between the two sizes."""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("size", "theme", "what"),
    [
        ("phone", "light", {"runOnly": TAGS}),
        ("phone", "dark", CONTRAST_ONLY),
        ("desktop", "light", ALL_BUT_CONTRAST),
    ],
)
def test_no_barrier_is_found_at_any_step(begun, size, theme, what):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page, name = begun(size, theme)
    for step in steps_of(page, name):
        # What the way lies over is scrolled from under it.
        page.evaluate("document.getElementById('way').style.position = 'static'")
        page.evaluate(WITHOUT_STROKES)
        found = axe.Axe().run(page, options=what)
        assert found.violations_count == 0, (step, found.generate_report())
        # A thumb meets what it aims at.
        assert page.evaluate(SMALL) == [], step
        # Main lines are read in sunlight.
        lines = page.evaluate(CONTRAST, ".todo, h1, .button, button, strong, #care-special li")
        assert lines, step
        assert min(lines) >= [7.0], (step, min(lines))
