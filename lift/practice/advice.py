"""What to change when a window is missing or narrow: each option is tried, not recited."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import Trajectory, simulate
from lift.optics.dyes import MAX_DOSE
from lift.practice.goal import Target
from lift.practice.tone import tone_direction
from lift.practice.window import Window, first_crossing, goal_margin, time_grid

NARROW_MINUTES = 3.0
WEAKER_VOLUMES = (30.0, 20.0, 15.0, 10.0, 7.5, 5.0)
DOSES = np.array([0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0, 24.0, 32.0, 48.0, MAX_DOSE])


@dataclass(frozen=True)
class Advice:
    """One change and what it does to the expected strand.

    Parameters
    ----------
    change : str
        ``weaker developer``, ``more tone``, ``nearer goal``, ``tone afterwards``,
        ``stronger mixture``, ``second visit`` or ``none``.
    text : str
        One sentence for the stylist.
    opens, closes : float or None
        Window after the change [min].
    """

    change: str
    text: str
    opens: float | None = None
    closes: float | None = None


def advise(hair: Hair, mixture: Mixture, window: Window, curves: CurveSet) -> tuple[Advice, ...]:
    """Try the changes that could give or widen the window.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        As planned.
    window : Window
        What they give.
    curves : CurveSet
        Curve set.

    Returns
    -------
    tuple of Advice
        Empty when the window is there and wide enough to work in.
    """
    if window.exists and window.width >= NARROW_MINUTES:
        return ()
    minutes = time_grid(float(window.minutes[-1]))
    found = (
        *_weaker(hair, mixture, window, minutes, curves),
        *_more_tone(hair, mixture, window, minutes, curves),
        *_nearer_goal(hair, mixture, window, minutes, curves),
        *_tone_afterwards(hair, mixture, window, minutes, curves),
        *_stronger(hair, mixture, window, minutes, curves),
    )
    wanted = "a wider window" if window.exists else "a window"
    return found or (Advice("none", f"No change of strength, tone or goal gives {wanted} here."),)


def _edges(trajectory: Trajectory, target: Target) -> tuple[float, float]:
    minutes = np.asarray(trajectory.minutes).reshape(-1, trajectory.minutes.shape[-1])[0]
    opens = first_crossing(minutes, goal_margin(trajectory, target) + 1e-9)
    closes = first_crossing(minutes, trajectory.warmth - target.warmth_limit)
    return float(opens), float(min(float(closes), float(minutes[-1])))


def _weaker(
    hair: Hair, mixture: Mixture, window: Window, minutes: Floats, curves: CurveSet
) -> Iterator[Advice]:
    for volume in (v for v in WEAKER_VOLUMES if v < mixture.developer_volume - 1e-9):
        opens, closes = _edges(
            simulate(hair, mixture.replace(volume=volume), minutes, curves), window.target
        )
        if closes - opens >= NARROW_MINUTES and closes - opens > window.width + 0.5:
            yield Advice(
                "weaker developer",
                f"{volume:g} vol: the window lasts from {opens:.0f} to {closes:.0f} min.",
                opens,
                closes,
            )
            return


def _more_tone(
    hair: Hair, mixture: Mixture, window: Window, minutes: Floats, curves: CurveSet
) -> Iterator[Advice]:
    carried = mixture.properties(curves.values)["tone"]
    dye = next(iter(carried), "violet")
    now = float(carried.get(dye, 0.0))
    for dose in DOSES[now + DOSES <= MAX_DOSE]:
        more = mixture.replace(tone={**carried, dye: now + float(dose)})
        opens, closes = _edges(simulate(hair, more, minutes, curves), window.target)
        if closes - opens >= NARROW_MINUTES and closes - opens > window.width + 0.5:
            yield Advice(
                "more tone",
                f"{dye} tone {now + dose:g} in the mixture (now {now:g}): the window lasts "
                f"from {opens:.0f} to {closes:.0f} min; the tone also darkens a little.",
                opens,
                closes,
            )
            return


def _nearer_goal(
    hair: Hair, mixture: Mixture, window: Window, minutes: Floats, curves: CurveSet
) -> Iterator[Advice]:
    trajectory = simulate(hair, mixture, minutes, curves)
    too_warm = first_crossing(minutes, trajectory.warmth - window.target.warmth_limit)
    closes = min(float(too_warm), float(minutes[-1]))
    if closes < NARROW_MINUTES:
        return
    level = float(np.interp(closes - NARROW_MINUTES, minutes, trajectory.level))
    start = float(trajectory.level[0])
    if level < window.target.level - 0.05 and level > start + 0.1:
        goal = np.floor(level * 10.0) / 10.0
        opens = float(first_crossing(minutes, trajectory.level - goal))
        yield Advice(
            "nearer goal",
            f"goal level {goal:.1f} instead of {window.target.level:.1f}: "
            f"reached by {opens:.0f} min, too warm from {closes:.0f} min.",
            opens,
            closes,
        )


def _tone_afterwards(
    hair: Hair, mixture: Mixture, window: Window, minutes: Floats, curves: CurveSet
) -> Iterator[Advice]:
    if window.exists or window.reached_at is None:
        return
    at = simulate(hair, mixture, window.reached_at, curves)
    direction = tone_direction(at.lab, None, curves)
    yield Advice(
        "tone afterwards",
        f"lift on to {window.reached_at:.0f} min and tone after rinsing: a {direction.wheel} "
        f"toner must carry {float(at.warmth) - window.target.warmth_limit:.1f} dC* beyond the "
        f"limit (goal: warmth={np.ceil(float(at.warmth)):.0f}).",
        window.reached_at,
        None,
    )


def _stronger(
    hair: Hair, mixture: Mixture, window: Window, minutes: Floats, curves: CurveSet
) -> Iterator[Advice]:
    if window.reached_at is not None and window.closes_by != "time limit":
        return
    how = "not" if window.reached_at is None else f"only at {window.reached_at:.0f} min"
    own = float(mixture.on_head_volume)
    trials = [
        *(mixture.replace(volume=v) for v in (10.0, 20.0, 30.0, 40.0)),
        *(Mixture("powder", v, temperature_c=mixture.temperature_c) for v in (10.0, 20.0, 30.0)),
    ]
    for trial in trials:
        if trial.kind == mixture.kind and float(trial.on_head_volume) <= own:
            continue
        reached, _ = _edges(simulate(hair, trial, minutes, curves), window.target)
        if minutes[-1] - reached >= (NARROW_MINUTES if window.exists else 0.0):
            yield Advice(
                "stronger mixture",
                f"{window.target.words} is {how} reached in {minutes[-1]:.0f} min; "
                f"{trial.kind} with "
                f"{trial.developer_volume:g} vol reaches it at {reached:.0f} min, within the "
                "maker's limits.",
                reached,
                None,
            )
            return
    if window.exists:
        return
    yield Advice(
        "second visit",
        f"{window.target.words} is not reached in {minutes[-1]:.0f} min by any mixture tried, up "
        "to powder with 30 vol: plan a second visit.",
    )
