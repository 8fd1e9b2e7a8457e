"""The clock in a browser: the library's machine, kept over reloads, without a connection."""

import datetime
from pathlib import Path

import pytest

from lift.answers.encode import plain
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.clock import start_clock
from lift.practice.service.plan import plan
from lift.show.lock.shades import shade_texts
from lift.show.page.clock_data import clock_data

pytestmark = pytest.mark.slow

SHARED = Path(__file__).parents[3] / "shared"
NOON = datetime.datetime(2026, 3, 2, 12, 0, tzinfo=datetime.UTC)

# Marks made in time, late, early and never: minutes between one press and the next.
PACES = {
    "as planned": lambda action, now: max(action.at, now),
    "always late": lambda action, now: max(action.at, now) + 1.7,
    "in a hurry": lambda action, now: now + 0.4,
    "very late": lambda action, now: max(action.at, now) + 9.0,
}

SCRIPT = """async ([data, presses, looks]) => {
  const { Clock } = await import("/static/machine.js");
  let clock = new Clock(data);
  const finite = (t) => (Number.isFinite(t) ? t : null);
  const told = [];
  const tell = (now) => {
    const next = clock.next(now);
    told.push({
      next: [next.kind, next.zone, next.sections, finite(next.at), finite(next.until)],
      zones: clock.zones.map((z) => [
        finite(z.earliest(now)), finite(z.latest(now)), finite(z.due(now)), finite(z.delay(now)),
        z.now(now).map((s) => [
          s.number, s.minutes, finite(s.toClose), s.reached, s.rinsed, s.state,
        ]),
      ]),
    });
  };
  presses.forEach((at, i) => {
    for (const now of looks[i]) tell(now);
    clock = clock.mark(at);
    tell(at);
  });
  return told;
}"""


def finite(time):
    return time if abs(time) != float("inf") else None


def told(clock, now):
    action = clock.next(now)
    return {
        "next": [
            action.kind,
            action.zone,
            list(action.sections),
            finite(action.at),
            finite(action.until),
        ],
        "zones": [
            [
                finite(z.earliest(now)),
                finite(z.latest(now)),
                finite(z.due(now)),
                finite(z.delay(now)),
                [
                    [s.number, s.minutes, finite(s.to_close), s.reached, s.rinsed, s.state]
                    for s in z.now(now)
                ],
            ]
            for z in clock.zones
        ],
    }


def close(one, two):
    """Equal but for rounding."""
    if isinstance(one, list):
        return len(one) == len(two) and all(close(a, b) for a, b in zip(one, two, strict=True))
    if isinstance(one, dict):
        return one.keys() == two.keys() and all(close(one[k], two[k]) for k in one)
    if isinstance(one, float) and two is not None:
        return abs(one - two) < 1e-6
    return one == two


@pytest.mark.parametrize("path", sorted(SHARED.glob("*.toml")), ids=lambda p: p.stem)
def test_the_browsers_machine_is_the_librarys(served, visit, path):
    result = plan(load_scenario(path))
    page = visit(served.url).open()
    for name, pace in PACES.items():
        clock, now, presses, looks, expected = start_clock(result), 0.0, [], [], []
        while clock.next(now).kind != "done" and len(presses) < 80:
            action = clock.next(now)
            at = max(pace(action, now), now)
            if action.kind == "rinsing":
                at = action.until
            between = [now + (at - now) * share for share in (0.3, 0.8)]
            expected += [told(clock, t) for t in between]
            clock = clock.mark(at)
            expected.append(told(clock, at))
            presses.append(at)
            looks.append(between)
            now = at
        got = page.evaluate(SCRIPT, [plain(clock_data(result)), presses, looks])
        assert clock.next(now).kind == "done"
        for i, (one, two) in enumerate(zip(expected, got, strict=True)):
            assert close(one, two), (name, i, one, two)


def start_strand(visitor, minutes_of_day=NOON):
    page = visitor.page
    page.clock.install(time=minutes_of_day)
    page = visitor.open()
    page.check("#aim-lighten")
    page.wait_for_selector("#window-words:visible")
    page.click("#to-clock")
    page.wait_for_selector("#clock-set:not([hidden])")
    return page


def window(page):
    answer = page.evaluate(
        "fetch('/api/preview?level=6&minutes=10&volume=20&fibre=70&goal=lighten+8')"
        ".then(r => r.json())"
    )
    return answer["window"]


def face(page):
    return page.get_attribute("#face", "data-state"), page.inner_text("#face-word")


def go(page, seconds):
    """Let the time of day run."""
    page.clock.run_for(int(seconds * 1000))


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_start_applied_rinse(served, visit, size):
    visitor = visit(served.url, size)
    page = start_strand(visitor)
    win = window(page)
    assert face(page) == ("wait", "Ready")
    page.click("#press")
    go(page, 1)
    assert page.inner_text("#press") == "Applied"
    # Its window is shorter than half a minute of laying would be.
    go(page, 5)
    page.click("#press")
    go(page, 1)
    assert face(page) == ("wait", "Wait")
    assert page.inner_text("#press") == "Rinsed"
    heard = len(page.evaluate("window.heard"))
    go(page, 60 * (win["best_minutes"] - 1.0) + 1)
    assert face(page) == ("soon", "Get ready")
    assert len(page.evaluate("window.heard")) > heard
    go(page, 61)
    assert face(page) == ("rinse", "Rinse")
    assert "Rinse" in page.inner_text("#face-say")
    heard = len(page.evaluate("window.heard"))
    go(page, 31)
    assert len(page.evaluate("window.heard")) >= heard + 6
    left = 60 * (win["rinse_until"] - win["best_minutes"])
    go(page, left)
    assert face(page) == ("late", "Rinse now")
    assert "past its window" in page.inner_text("#on")
    page.click("#press")
    go(page, 1)
    assert face(page) == ("done", "All rinsed")
    page.click("#undo")
    go(page, 1)
    assert face(page)[0] == "late"


def test_hair_lies_above_the_natural_levels_between_which_it_is(served, visit):
    visitor = visit(served.url, "phone")
    page = start_strand(visitor)
    page.click("#press")
    go(page, 1)
    page.click("#press")
    assert page.locator("#on-levels figure").count() == 2

    def levels():
        names = page.locator("#on-levels figcaption").all_inner_texts()
        return [int(name.removeprefix("natural")) for name in names]

    first = levels()
    assert first[1] == first[0] + 1
    go(page, 60 * 25)
    later = levels()
    assert later[1] == later[0] + 1
    assert later[0] > first[0]
    drawn = page.eval_on_selector_all("#on-levels .lock", "all => all.map(l => l.dataset.shades)")
    natural = natural_path(default_curves()).lab_of_level(later)
    assert drawn == shade_texts(natural)
    # What an older page has kept runs on without them.
    page.evaluate("""() => {
      const kept = JSON.parse(localStorage.getItem("lift.clock"));
      delete kept.plan.levels;
      localStorage.setItem("lift.clock", JSON.stringify(kept));
    }""")
    page.reload()
    page.wait_for_selector("#clock-set:not([hidden])")
    go(page, 1)
    assert "strand 1" in page.inner_text("#on")
    assert page.locator("#on-levels figure").count() == 0


def test_toners_follow_the_last_rinse_on_the_face(served, visit):
    result = plan(load_scenario(SHARED / "fine_and_coarse.toml"))
    (first, second), visitor = result.toning, visit(served.url, "phone")
    visitor.page.clock.install(time=NOON)
    page = visitor.open("plan")
    page.select_option("#plan-pick", "fine-and-coarse")
    page.wait_for_selector("#plan-outcome:not([hidden])")
    assert "min of toning, assumed" in page.inner_text("#plan-total")
    assert "Toner: blue-violet. Strength:" in page.inner_text("#plan-tones")
    page.click("#plan-clock")
    page.wait_for_selector("#clock-set:not([hidden])")

    def pressed_until(word):
        for _ in range(30):
            if page.inner_text("#press") == word:
                return
            # Sections that are rinsed one after the other run by themselves.
            if page.is_enabled("#press"):
                page.click("#press")
            go(page, 30)
        raise AssertionError(page.inner_text("#press"))

    pressed_until("Toned")
    go(page, 60 * 6)
    assert face(page) == ("do", f"Tone {first.zone}")
    assert "blue-violet, no developer, 60 g" in page.inner_text("#face-next")
    page.click("#press")
    go(page, 60 * 5)
    assert face(page) == ("do", f"Tone {second.zone}")
    page.click("#press")
    go(page, 60 * 10)
    assert face(page) == ("wait", "Wait")
    assert page.inner_text("#face-next") == f"then: Rinse the tone {first.zone}"
    go(page, 60 * 6)
    assert face(page) == ("rinse", f"Rinse the tone {first.zone}")
    page.click("#press")
    go(page, 60 * 6)
    page.click("#press")
    go(page, 1)
    assert face(page)[0] == "done"


def test_the_time_is_the_engines(served, visit):
    visitor = visit(served.url)
    page = start_strand(visitor)
    win = window(page)
    page.click("#press")
    go(page, 1)
    page.click("#press")
    go(page, 60)
    shown = page.inner_text("#face-time")
    minutes, seconds = (int(part) for part in shown.split(":"))
    assert abs(60 * win["best_minutes"] - 60 - (60 * minutes + seconds)) <= 1.5


def test_a_reload_and_a_locked_phone_lose_no_time(served, visit):
    visitor = visit(served.url, "phone")
    page = start_strand(visitor)
    page.click("#press")
    go(page, 1)
    page.click("#press")
    go(page, 60)
    page.reload()
    page.wait_for_selector("#clock-set:not([hidden])")
    go(page, 1)
    assert "1:0" in page.inner_text("#on")
    # A phone that is locked runs no timer: the time of day jumps, and nothing ticks in between.
    page.clock.pause_at(NOON + datetime.timedelta(minutes=70))
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert face(page)[0] == "late"
    assert "69:5" in page.inner_text("#on")


def test_without_a_connection_the_clock_runs_and_opens_again(tmp_path, serve, visit):
    site = serve(tmp_path)
    visitor = visit(site.url, "phone")
    page = visitor.open()
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.wait_for_timeout(500)
    page.check("#aim-lighten")
    page.wait_for_selector("#window-words:visible")
    page.click("#to-clock")
    page.click("#press")
    page.wait_for_timeout(700)
    page.click("#press")
    site.stop()
    page.wait_for_timeout(1200)
    assert face(page)[0] in ("wait", "soon")
    page.reload()
    page.wait_for_selector("#clock-set:not([hidden])")
    assert "strand 1" in page.inner_text("#on")
    page.wait_for_timeout(700)
    page.click("#undo")
    assert page.inner_text("#press") == "Applied"
    visitor.context.set_offline(True)
    page.reload()
    page.wait_for_selector("#press:has-text('Applied')")


def test_a_second_press_at_once_is_not_meant(served, visit):
    visitor = visit(served.url, "phone")
    page = start_strand(visitor)
    page.click("#press")
    page.click("#press")
    assert page.inner_text("#press") == "Applied"


def test_a_running_clock_is_not_thrown_away_unasked(served, visit):
    visitor = visit(served.url)
    page = start_strand(visitor)
    page.click("#press")
    asked = []
    page.on("dialog", lambda dialog: asked.append(dialog.message))
    visitor.enter("preview")
    page.click("#to-clock")
    assert "A clock is running" in asked[0]


def test_sound_can_be_silenced(served, visit):
    visitor = visit(served.url)
    page = start_strand(visitor)
    page.click("#sound")
    assert page.get_attribute("#sound", "aria-pressed") == "false"
    page.click("#press")
    go(page, 3600)
    assert page.evaluate("window.heard") == []


@pytest.mark.parametrize("size", ["phone", "desktop"])
def test_read_from_a_metre_and_pressed_with_gloves(served, visit, size):
    visitor = visit(served.url, size)
    page = start_strand(visitor)
    digits = page.evaluate(
        "parseFloat(getComputedStyle(document.getElementById('face-time')).fontSize)"
    )
    word = page.evaluate(
        "parseFloat(getComputedStyle(document.getElementById('face-word')).fontSize)"
    )
    # 1 px of a phone is about 0.18 mm; at 1 m, 20/40 sight needs letters of 2.9 mm.
    assert digits * 0.18 > 12
    assert word * 0.18 > 5
    box = page.locator("#press").bounding_box()
    assert box["height"] >= 120
    assert box["width"] >= 300
    for name in ("#undo", "#sound", "#leave"):
        assert page.locator(name).bounding_box()["height"] >= 48
