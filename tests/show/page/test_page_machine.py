"""The browser's machine says what the library's clock says, whatever is marked and when."""

from dataclasses import replace
from pathlib import Path

import pytest

from lift.answers.encode import plain
from lift.practice.goal import Tone
from lift.practice.scenario.scenario import ZoneGoal
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.clock import start_clock
from lift.practice.service.clock_face import early_by, face
from lift.practice.service.clock_looks import zone_looks
from lift.practice.service.plan import plan
from lift.practice.trial.observation import Observation
from lift.show.page.clock_data import clock_data

pytestmark = pytest.mark.slow

SHARED = Path(__file__).parents[3] / "shared"

# Marks made in time, late, early and never: minutes between one press and the next.
PACES = {
    "as planned": lambda action, now: max(action.at, now),
    "always late": lambda action, now: max(action.at, now) + 1.7,
    "in a hurry": lambda action, now: now + 0.4,
    "very late": lambda action, now: max(action.at, now) + 9.0,
}
PAUSED_AFTER = 3
"""Presses after which hands go away for a while, at one of the paces."""

SCRIPT = """async ([data, done, looks]) => {
  const { Clock } = await import("/static/machine.js");
  const { earlyBy, face } = await import("/static/face.js");
  let clock = new Clock(data);
  const finite = (t) => (Number.isFinite(t) ? t : null);
  const told = [];
  const tell = (now) => {
    const next = clock.next(now);
    const shown = face(next, now, data);
    const standing = clock.standing(now);
    told.push({
      next: [next.kind, next.zone, next.sections, finite(next.at), finite(next.until), next.lasts],
      face: [shown.state, finite(shown.minutes), shown.counts, finite(earlyBy(next, now, data))],
      standing: standing.map((s) => [s.zone, finite(s.rinse), finite(s.moved), s.planned]),
      chances: standing.map((s) => s.chance),
      zones: clock.zones.map((z) => [
        finite(z.earliest(now)), finite(z.latest(now)), finite(z.due(now)), finite(z.delay(now)),
        finite(z.rinseBy(now)),
        z.now(now).map((s) => [
          s.number, s.minutes, finite(s.toClose), s.reached, s.rinsed, s.state,
        ]),
      ]),
    });
  };
  done.forEach(([what, at], i) => {
    for (const now of looks[i]) tell(now);
    clock = clock[what](at);
    tell(at);
  });
  return told;
}"""


def finite(time):
    return time if abs(time) != float("inf") else None


def told(clock, now):
    action = clock.next(now)
    shown = face(action, now, clock.zones[0].hands_minutes)
    standing = clock.standing(now)
    return {
        "next": [
            action.kind,
            action.zone,
            list(action.sections),
            finite(action.at),
            finite(action.until),
            action.lasts,
        ],
        "face": [
            shown.state,
            finite(shown.minutes),
            shown.counts,
            finite(early_by(action, now)),
        ],
        "standing": [[s.zone, finite(s.rinse), finite(s.moved), s.planned] for s in standing],
        "chances": [s.chance for s in standing],
        "zones": [
            [
                finite(z.earliest(now)),
                finite(z.latest(now)),
                finite(z.due(now)),
                finite(z.delay(now)),
                finite(z.rinse_by(now)),
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


def through(clock, pace, paused):
    """What is done, each at a time, the times between at which the face is read, what is told."""
    now, done, looks, expected = 0.0, [], [], []

    def do(what, at):
        nonlocal clock, now
        between = [now + (at - now) * share for share in (0.3, 0.8)]
        expected.extend(told(clock, t) for t in between)
        clock = getattr(clock, what)(at)
        expected.append(told(clock, at))
        done.append((what, at))
        looks.append(between)
        now = at

    while clock.next(now).kind != "done" and len(done) < 80:
        if paused and len(done) == PAUSED_AFTER:
            do("pause", now + 0.2)
            do("resume", now + 4.0)
        action = clock.next(now)
        do("mark", action.until if action.kind == "rinsing" else max(pace(action, now), now))
    assert clock.next(now).kind == "done"
    return done, looks, expected


def compare(page, data, clock, paces=PACES):
    for name, pace in paces.items():
        done, looks, expected = through(clock, pace, name == "as planned")
        got = page.evaluate(SCRIPT, [plain(data), done, looks])
        for i, (one, two) in enumerate(zip(expected, got, strict=True)):
            # The members' tables are rounded: one of them may stand on the other side.
            chances = zip(one.pop("chances"), two.pop("chances"), strict=True)
            assert all(abs(a - b) < 1.5 / len(clock.zones[0].own) for a, b in chances), (name, i)
            assert close(one, two), (name, i, one, two)


@pytest.fixture
def page(served, visit):
    page = visit(served.url).page
    page.goto(served.url)
    return page


@pytest.mark.parametrize("path", sorted(SHARED.glob("*.toml")), ids=lambda p: p.stem)
def test_the_browsers_machine_is_the_librarys(page, path):
    result = plan(load_scenario(path))
    looks = {z.zone.name: zone_looks(result.service, z.zone.name) for z in result.zones}
    compare(page, clock_data(result), start_clock(result, looks))


def test_zones_that_are_only_toned(page):
    ends = {"goal": ZoneGoal(Tone())}
    result = plan(load_scenario(SHARED / "blonde_refresh.toml").replace_zone("ends", **ends))
    assert [each.zone.name for each in result.toned] == ["ends"]
    looks = {z.zone.name: zone_looks(result.service, z.zone.name) for z in result.zones}
    late = {"always late": PACES["always late"]}
    compare(page, clock_data(result), start_clock(result, looks), late)


def test_chosen_minutes_and_what_was_seen(page):
    scenario = load_scenario(SHARED / "darker_base.toml")
    (zone,) = scenario.treated
    zones = tuple(replace(z, minutes=9.0) if z is zone else z for z in scenario.zones)
    result = plan(replace(scenario, zones=zones))
    seen = (Observation(2.0, level=zone.hair.level + 0.3),)
    looks = {zone.name: zone_looks(result.service, zone.name, seen)}
    assert looks[zone.name].response is not None
    clock, data = start_clock(result, looks), clock_data(result, {zone.name: seen})
    assert data.zones[0].looks.told
    compare(page, data, clock, {"as planned": PACES["as planned"]})
