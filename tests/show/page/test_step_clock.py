"""The clock of a visit in a browser: pressed early, late and twice, paused, looked at, reopened."""

import datetime
import re

import pytest
from show.page.conftest import kept

pytestmark = pytest.mark.slow

NOON = datetime.datetime(2026, 3, 2, 12, 0, tzinfo=datetime.UTC)
SHORT = 0.5
LAYING = 120
"""Seconds in which a section is to be laid."""

LENGTHS = {
    "name": "lengths",
    "natural_level": 6,
    "mixture": "cream",
    "goal": "lighten 8",
    "placement": {"sections": 2, "seconds_per_section": LAYING, "grams_per_section": 20},
    "toner": "none",
}
CHOSEN = {
    "zones": [LENGTHS | {"minutes": 45}],
    "mixtures": {"cream": {"kind": "cream", "volume": 20}},
}
TIMED = {
    "zones": [
        LENGTHS
        | {"natural_level": 7, "fibre": "fine", "goal": "lighten 8 warmth=20", "mixture": "powder"}
    ],
    "mixtures": {"powder": {"kind": "powder", "volume": 10}},
}

ASK = """async ([method, url, body]) => {
  const headers = { "Content-Type": "application/json" };
  const reply = await fetch(url, { method, headers, body: body && JSON.stringify(body) });
  return await reply.json();
}"""


class Clock:
    """A visit's clock on a page whose time of day is ours."""

    def __init__(self, visitor, visit=None, like=None, name=None):
        self.visitor, self.page = visitor, visitor.page
        self.page.clock.install(time=NOON)
        self.page.goto(visitor.url)
        if name is None:
            made = self.ask("POST", "/api/visits", {"like": like})
            name, changed = made["visit"]["visit"]["name"], made["visit"] | (visit or {})
            body = {"visit": changed, "revision": made["revision"]}
            assert "errors" not in self.ask("PUT", f"/api/visits/{name}", body)
        self.name = name
        self.page.goto(f"{visitor.url}/#{name}/clock")
        self.page.wait_for_selector("#clock-set:not([hidden])", timeout=60_000)

    def ask(self, method, url, body=None):
        return self.page.evaluate(ASK, [method, url, body])

    def go(self, seconds=1.0):
        """Let the time of day run; a phone that is busy shows the face but now and then."""
        if seconds > SHORT:
            self.page.clock.fast_forward(int((seconds - SHORT) * 1000))
        self.page.clock.run_for(int(min(seconds, SHORT) * 1000))

    def tap(self, selector):
        self.page.click(selector)
        self.go(0.7)

    def text(self, selector):
        return self.page.text_content(selector).strip()

    @property
    def face(self):
        state = self.page.get_attribute("#face", "data-state")
        return state, self.text("#clock-todo")

    @property
    def seconds(self):
        minutes, seconds = self.text("#face-time").split(":")
        return 60 * int(minutes) + int(seconds)

    @property
    def kept(self):
        """The visit as the server has it, once it has all of it."""
        return kept(self.page)

    def lay(self, late=0.0):
        """Start, and lay all; each section is on some seconds late."""
        self.tap("#press")
        while self.text("#press") == "Applied":
            self.go(LAYING + late - 0.7)
            self.tap("#press")

    def wait_while(self, *states, step=10.0):
        for _ in range(600):
            if self.face[0] not in states:
                return
            self.go(step)
        raise AssertionError(self.face)

    def pass_looks(self):
        """Wait for the rinse; a look that comes before it is passed by."""
        while True:
            self.wait_while("wait", "soon")
            if not self.face[1].startswith("Look"):
                return
            self.tap("#press")
            self.tap("#look-pass")


@pytest.fixture
def begin(served, visit):
    def open_clock(size="phone", **more):
        return Clock(visit(served.url, size), **more)

    return open_clock


def test_the_clock_begins_with_the_visit_and_runs_to_the_chosen_minutes(begin):
    clock = begin(visit=CHOSEN)
    assert (clock.face, clock.seconds) == (("wait", "Mix"), 45 * 60)
    assert clock.page.is_visible("#clock-cautions")
    clock.tap("#press")
    assert not clock.page.is_visible("#clock-cautions")
    assert clock.face == ("do", "Lay 1")
    clock.go(LAYING)
    clock.tap("#press")
    clock.go(LAYING)
    clock.tap("#press")
    clock.pass_looks()
    assert clock.face == ("rinse", "Rinse now")
    begun = datetime.datetime.fromisoformat(clock.kept["clock"]["started"])
    now = clock.page.evaluate("Date.now()") / 1000.0
    assert now - begun.timestamp() == pytest.approx(45 * 60, abs=15)


def test_the_rinse_is_asked_for_before_it_is_too_late(begin):
    clock = begin(visit=TIMED)
    clock.lay()
    clock.pass_looks()
    assert clock.face == ("rinse", "Rinse now")
    assert "Rinse now" in clock.text("#face-say")
    heard = len(clock.page.evaluate("window.heard"))
    clock.page.clock.run_for(16_000)
    assert len(clock.page.evaluate("window.heard")) > heard
    clock.wait_while("rinse", step=5.0)
    assert clock.face == ("late", "Rinse now")
    assert clock.text("#face-next") == "too late by this much"
    clock.tap("#press")
    assert clock.face == ("done", "All rinsed")
    assert clock.page.is_hidden("#press")
    clock.tap("#undo")
    assert clock.face[0] == "late"


def test_a_stray_press_is_asked_about_once_and_marks_nothing(begin):
    clock = begin(visit=CHOSEN)
    clock.lay()
    clock.wait_while("wait", "soon")
    clock.tap("#press")
    clock.tap("#look-pass")
    assert clock.text("#press") == "Rinsed"
    clock.tap("#press")
    asked = clock.text("#ask-say")
    assert re.fullmatch(r"Rinsed already\? \d+:\d\d early: inside (\d+|fewer than 1) in 100", asked)
    assert clock.page.evaluate("document.activeElement.id") == "ask-no"
    # Where the large button was, a second stray press says no.
    clock.tap("#ask-no")
    assert clock.kept["clock"]["zones"][0]["rinsed"] is None
    assert clock.page.is_visible("#press")
    clock.tap("#press")
    clock.tap("#ask-yes")
    assert clock.face[0] == "done"
    clock.tap("#undo")
    assert clock.face[0] == "wait"
    assert clock.kept["clock"]["zones"][0]["rinsed"] is None


def test_a_press_in_time_is_not_asked_about_and_wet_gloves_press_twice(begin):
    clock = begin(visit=CHOSEN)
    clock.page.click("#press")
    clock.page.click("#press")
    clock.go(0.3)
    assert clock.face == ("do", "Lay 1")
    assert clock.page.is_hidden("#press-ask")
    clock.go(LAYING / 2 + 1)
    clock.tap("#press")
    assert clock.face == ("do", "Lay 2")


def test_undo_takes_back_every_press(begin):
    clock = begin(visit=CHOSEN)
    faces = [clock.face]
    clock.tap("#press")
    faces.append(clock.face)
    clock.go(LAYING)
    clock.tap("#press")
    faces.append(clock.face)
    clock.tap("#pause")
    assert clock.face == ("pause", "Paused")
    for face in reversed(faces):
        clock.tap("#undo")
        assert clock.face == face
    assert clock.page.is_disabled("#undo")
    assert clock.kept["clock"]["started"] is None


def test_a_late_lay_moves_the_rinse_and_tells_what_that_does_to_the_chance(begin):
    clock = begin(visit=TIMED)
    clock.tap("#press")
    clock.go(LAYING + 20)
    assert clock.face[0] == "do"
    clock.go(40)
    assert clock.face == ("behind", "Lay 1")
    clock.go(240)
    clock.tap("#press")
    clock.go(LAYING + 300)
    clock.tap("#press")
    told = re.search(
        r"rinse (\d+):(\d\d) later; inside (\d+) in 100, planned (\d+)", clock.text("#clock-zones")
    )
    assert told
    late, _, now, planned = map(int, told.groups())
    assert 3 <= late <= 10
    assert now < planned


def test_a_pause_is_counted_and_what_is_due_rings_meanwhile(begin):
    clock = begin(visit=CHOSEN)
    clock.tap("#press")
    clock.go(LAYING)
    clock.tap("#press")
    clock.tap("#pause")
    clock.go(180)
    assert clock.face == ("pause", "Paused")
    assert 180 <= clock.seconds <= 182
    assert "goes on in the hair" in clock.text("#face-next")
    assert clock.text("#clock-zones").startswith("lengths5:0")
    clock.tap("#press")
    assert clock.face == ("do", "Lay 2")
    assert LAYING - 3 <= clock.seconds <= LAYING
    (pause,) = clock.kept["clock"]["pauses"]
    assert pause[1] - pause[0] == pytest.approx(3.0, abs=0.1)
    clock.go(LAYING)
    clock.tap("#press")
    clock.tap("#pause")
    clock.pass_looks()
    clock.wait_while("pause", step=30.0)
    while clock.face[1].startswith("Look"):
        clock.tap("#press")
        clock.tap("#look-pass")
        clock.wait_while("pause", "wait", "soon", step=30.0)
    assert clock.face == ("rinse", "Rinse now")
    clock.tap("#press")
    assert clock.kept["clock"]["pauses"][1][1] == clock.kept["clock"]["zones"][0]["rinsed"]


def look(clock, place):
    """Tap one of the locks that may be picked, and take it."""
    clock.page.locator("#look-levels button.level:not([disabled])").nth(place).click()
    clock.go(0.3)
    clock.tap("#look-take")


def told(clock):
    """What is told once the server has answered."""
    for _ in range(120):
        clock.page.wait_for_timeout(250)
        clock.go(0.3)
        if "worked out" not in clock.text("#clock-told"):
            break
    return clock.text("#clock-told")


def test_a_look_moves_the_rinse_and_says_by_how_much(begin):
    clock = begin(visit=TIMED)
    clock.lay()
    before = clock.page.text_content("#face-next")
    assert before == "then: Look at a strand"
    clock.wait_while("wait", "soon")
    assert clock.face == ("do", "Look at a strand")
    clock.tap("#press")
    assert clock.page.is_hidden("#undo")
    look(clock, 3)
    assert re.fullmatch(r"By the look, lengths is rinsed \d+:\d\d (later|sooner)\.", told(clock))
    (seen,) = clock.kept["looks"]
    assert (seen["zone"], seen["strand"], seen["instrument"]) == ("lengths", False, False)
    assert clock.kept["clock"]["zones"][0]["looked"]
    clock.tap("#undo")
    assert clock.kept["looks"] == []
    assert clock.kept["clock"]["zones"][0]["looked"] == []


def test_a_strand_test_before_the_first_mix_moves_the_plan(begin):
    clock = begin(visit=TIMED)
    first = clock.seconds
    clock.tap("#strand-test")
    assert clock.face == ("wait", "Wait")
    clock.wait_while("wait", "soon")
    assert clock.face == ("do", "Look at the strand")
    clock.tap("#press")
    look(clock, 3)
    assert told(clock).startswith("By the look, lengths is rinsed ")
    assert clock.face == ("wait", "Mix")
    assert clock.seconds != first
    assert clock.kept["looks"][0]["strand"]
    assert clock.kept["clock"]["started"] is None
    clock.tap("#undo")
    assert clock.kept["looks"] == []


def test_pain_rinses_everything_at_once(begin):
    clock = begin(like="blonde-refresh")
    clock.tap("#press")
    for _ in range(3):
        clock.go(30)
        clock.tap("#press")
    clock.tap("#rinse-now")
    assert "early" in clock.text("#ask-say")
    clock.tap("#ask-yes")
    assert clock.text("#clock-zones").endswith("rinsed")
    assert clock.kept["clock"]["zones"][0]["rinsed"] is not None


def test_a_reload_a_locked_phone_and_another_step_lose_no_time(begin):
    clock = begin(visit=CHOSEN)
    clock.lay()
    clock.go(60)
    page = clock.page
    page.reload()
    page.wait_for_selector("#clock-set:not([hidden])")
    clock.go()
    assert clock.text("#clock-zones").startswith("lengths5:0")
    assert "until the screen is touched" in clock.text("#ring")
    page.evaluate("location.hash = location.hash.replace('/clock', '/tone')")
    page.wait_for_selector(".clock-band:visible")
    clock.go()
    assert re.match(r"Wait \d\d:\d\d", page.inner_text(".clock-band"))
    # A phone that is locked runs no timer: the time of day jumps, and nothing ticks in between.
    page.clock.pause_at(NOON + datetime.timedelta(minutes=70))
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert page.get_attribute(".clock-band", "data-state") == "late"
    page.click(".clock-band")
    page.wait_for_selector("#clock-set:visible")
    assert clock.face == ("late", "Rinse now")


def test_without_a_connection_it_runs_and_a_look_waits(tmp_path, serve, visit):
    site = serve(tmp_path)
    visitor = visit(site.url, "phone")
    clock = Clock(visitor, visit=TIMED)
    clock.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    clock.page.wait_for_timeout(500)
    clock.lay()
    clock.page.wait_for_timeout(500)
    site.stop()
    clock.wait_while("wait", "soon")
    assert clock.face == ("do", "Look at a strand")
    clock.tap("#press")
    look(clock, 3)
    clock.page.wait_for_timeout(500)
    clock.go(0.3)
    assert clock.text("#clock-told") == "Kept. Without a connection the times stay as planned."
    clock.page.reload()
    clock.page.wait_for_selector("#clock-set:not([hidden])")
    clock.go()
    assert clock.face[0] in ("wait", "soon")
    again = serve(tmp_path, port=site.port)
    # A lost connection is tried again by itself; what was kept here goes to the server then.
    for _ in range(60):
        clock.go(2.5)
        clock.page.wait_for_timeout(250)
        if clock.text("#clock-told") == "" and clock.page.inner_text("#saved") == "":
            break
    assert [seen["zone"] for seen in clock.kept["looks"]] == ["lengths"]
    # Another device takes it up where it stands.
    other = Clock(visit(again.url, "desktop"), name=clock.name)
    other.go()
    assert other.text("#clock-zones").startswith("lengths")
    assert other.kept["clock"]["zones"][0]["laid"] == clock.kept["clock"]["zones"][0]["laid"]


def test_it_says_plainly_when_it_cannot_ring(begin):
    clock = begin(visit=CHOSEN)
    clock.page.evaluate("delete Navigator.prototype.wakeLock")
    clock.tap("#press")
    assert clock.text("#ring") == "Keep the screen on yourself: locked, it does not ring."
    clock.tap("#sound")
    assert clock.text("#ring").startswith("It cannot ring: the sound is off.")
    heard = len(clock.page.evaluate("window.heard"))
    clock.go(60 * 50)
    assert len(clock.page.evaluate("window.heard")) == heard


def test_toners_follow_the_last_rinse(begin):
    clock = begin(like="fine-and-coarse")
    clock.tap("#press")
    for _ in range(40):
        if clock.text("#press") == "Toned":
            break
        clock.pass_looks() if clock.face[0] in ("wait", "soon") else clock.go(30)
        if clock.page.is_visible("#press"):
            clock.tap("#press")
            if clock.page.is_visible("#look-pass"):
                clock.tap("#look-pass")
    clock.wait_while("wait", "soon")
    assert clock.face[1].startswith("Tone ")
    assert "blue-violet" in clock.text("#face-next")


WORDS = """() => {
  const seen = (node) => {
    if (node.nodeType === Node.TEXT_NODE) {
      const range = document.createRange();
      range.selectNodeContents(node);
      const box = range.getBoundingClientRect();
      const parent = node.parentElement;
      const shown = parent.checkVisibility() && !parent.closest(".visually-hidden, .skip");
      const inside = shown && box.width && box.top < innerHeight;
      return inside ? node.textContent.trim().split(/\\s+/) : [];
    }
    return [...node.childNodes].flatMap(seen);
  };
  return seen(document.body).filter(Boolean);
}"""


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_few_words_read_from_a_metre_and_pressed_with_gloves(begin, size):
    clock = begin(size, like="grey-blending")
    screens = {}
    clock.lay(late=120)
    screens["laid late"] = clock.page.evaluate(WORDS)
    clock.tap("#rinse-now")
    screens["asked"] = clock.page.evaluate(WORDS)
    clock.tap("#ask-no")
    clock.tap("#pause")
    clock.go(65)
    screens["paused"] = clock.page.evaluate(WORDS)
    clock.tap("#press")
    for state in ("do", "rinse", "late"):
        for _ in range(200):
            if clock.face[0] in (state, "done"):
                break
            in_time = clock.face[0] in ("do", "behind") and state != "do"
            clock.tap("#press") if in_time else clock.go(20)
            if clock.page.is_visible("#look-pass"):
                screens["look"] = clock.page.evaluate(WORDS)
                clock.tap("#look-pass")
        screens[state] = clock.page.evaluate(WORDS)
    assert {name: len(words) for name, words in screens.items() if len(words) >= 60} == {}
    height = {
        name: clock.page.evaluate(
            "id => parseFloat(getComputedStyle(document.getElementById(id)).fontSize)", name
        )
        for name in ("face-time", "clock-todo")
    }
    # 1 px of a phone is about 0.18 mm; at 1 m, 20/40 sight needs letters of 2.9 mm.
    assert height["face-time"] * 0.18 > 12
    assert height["clock-todo"] * 0.18 > 5
    box = clock.page.locator("#press").bounding_box()
    assert box["height"] >= 120
    assert box["width"] >= 300
    for button in clock.page.locator(".hands button:visible").all():
        assert button.bounding_box()["height"] >= 56


@pytest.mark.parametrize(("width", "text"), [(320, 100), (390, 200)])
def test_nothing_runs_off_the_side(begin, width, text):
    clock = begin(visit=CHOSEN)
    clock.page.set_viewport_size({"width": width, "height": 700})
    clock.page.evaluate("t => { document.documentElement.style.fontSize = `${t}%`; }", text)
    clock.lay()
    clock.tap("#rinse-now")
    clock.tap("#ask-no")
    clock.tap("#press")
    for _ in range(2):
        clock.go()
        assert clock.page.evaluate("document.documentElement.scrollWidth") <= width
        clock.tap("#look-leave") if clock.page.is_visible("#look-leave") else None
