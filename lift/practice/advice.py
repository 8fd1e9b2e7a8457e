"""What to change when a window is missing or narrow: each option is tried, not recited."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model.course import tone_formed
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import path_of
from lift.model.strand import strand_lab
from lift.model.trajectory import Trajectory, trajectory_of
from lift.optics.dyes import MAX_DOSE
from lift.practice.inside import first_crossing, goal_margin
from lift.practice.target import TOO_LIGHT_LEVEL, Target
from lift.practice.tone import tone_direction
from lift.practice.window import Window, time_grid
from lift.words import Note, note

NARROW_MINUTES = 3.0
WEAKER_VOLUMES = (30.0, 20.0, 15.0, 10.0, 7.5, 5.0)
STRONGER_VOLUMES = np.array([10.0, 20.0, 30.0, 40.0])
DOSES = np.array([0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0, 24.0, 32.0, 48.0, MAX_DOSE])


@dataclass(frozen=True)
class Advice:
    """One change and what it does to the expected strand.

    Parameters
    ----------
    change : str
        ``weaker_developer``, ``more_tone``, ``nearer_goal``, ``tone_afterwards``,
        ``stronger_mixture``, ``second_visit`` or ``none``.
    note : Note
        One sentence for the stylist, yet to be said.
    opens, closes : float or None
        Window after the change [min].
    """

    change: str
    note: Note
    opens: float | None = None
    closes: float | None = None


def advise(hair: Hair, mixture: Mixture, window: Window, curves: CurveSet) -> tuple[Advice, ...]:
    """Try the changes that could give or widen the window; none when it is wide enough."""
    if window.target.wanted is not None or (window.exists and window.width >= NARROW_MINUTES):
        return ()
    minutes = time_grid(window.limit_minutes)
    planned = trajectory_of(hair, mixture, minutes, curves, curves.values)
    found = (
        *_weaker(hair, mixture, window, planned),
        *_more_tone(hair, mixture, window, planned),
        *_nearer_goal(window, planned),
        *_tone_afterwards(hair, mixture, window, planned),
        *_stronger(hair, mixture, window, planned),
    )
    # Without a window there is always something to say: tone afterwards, or lift more.
    return found or (Advice("none", note("advice.none")),)


def _edges(minutes: Floats, trajectory: Trajectory, target: Target) -> tuple[Floats, Floats]:
    """When each strand reaches the goal, and is too warm or too light or time is up [min]."""
    opens = first_crossing(minutes, goal_margin(trajectory, target) + 1e-9)
    warm = first_crossing(minutes, trajectory.warmth - min(target.warmth_limit, 1e6))
    return opens, np.minimum(warm, _too_light(minutes, trajectory))


def _too_light(minutes: Floats, trajectory: Trajectory) -> Floats:
    """When each strand is too light for any goal, or time is up [min]."""
    light = first_crossing(minutes, trajectory.level - TOO_LIGHT_LEVEL)
    return np.asarray(np.minimum(light, minutes[-1]))


def _first_wide(opens: Floats, closes: Floats, window: Window) -> int | None:
    """Index of the first trial whose window is wide enough and worth the change."""
    width = closes - opens
    good = np.flatnonzero((width >= NARROW_MINUTES) & (width > window.width + 0.5))
    return int(good[0]) if good.size else None


def _with(hair: Hair, mixture: Mixture, planned: Trajectory, minutes: ArrayLike) -> Trajectory:
    """Strand of the plan under another mixture; what was done to it before today is known."""
    before = planned.exposure[0]
    curves = planned.curves
    return trajectory_of(hair, mixture, np.asarray(minutes), curves, curves.values, before)


def _at_volumes(hair: Hair, mixture: Mixture, volumes: Floats, planned: Trajectory) -> Trajectory:
    """Strand under each developer strength, shape (volumes, times)."""
    return _with(hair, mixture.replace(volume=volumes[:, None]), planned, planned.minutes)


def _weaker(hair: Hair, mixture: Mixture, window: Window, planned: Trajectory) -> Iterator[Advice]:
    volumes = np.array([v for v in WEAKER_VOLUMES if v < mixture.developer_volume - 1e-9])
    if not volumes.size:
        return
    trials = _at_volumes(hair, mixture, volumes, planned)
    opens, closes = _edges(planned.minutes, trials, window.target)
    best = _first_wide(opens, closes, window)
    if best is not None:
        yield Advice(
            "weaker_developer",
            note(
                "advice.weaker",
                volume=float(volumes[best]),
                opens=float(opens[best]),
                closes=float(closes[best]),
            ),
            float(opens[best]),
            float(closes[best]),
        )


def _more_tone(
    hair: Hair, mixture: Mixture, window: Window, planned: Trajectory
) -> Iterator[Advice]:
    minutes, values = planned.minutes, planned.curves.values
    properties = mixture.properties(values)
    carried = properties["tone"]
    dye = next(iter(carried), "violet")
    now = float(carried.get(dye, 0.0))
    doses = now + DOSES[now + DOSES <= MAX_DOSE]
    if not doses.size:
        return
    # Tone changes what is seen, not what is lightened: the pigment stays as planned. What is too
    # warm is so beside any number of white fibres.
    more = tone_formed(minutes, doses[:, None], properties["tone_minutes"])
    lab = strand_lab(planned.pigment, values, tone={**planned.tone, dye: more})
    warmth = path_of(hair, planned.curves).warmth(lab)
    opens, _ = _edges(minutes, planned, window.target)
    warm = first_crossing(minutes, warmth - window.target.warmth_limit)
    closes = np.minimum(warm, _too_light(minutes, planned))
    best = _first_wide(opens, closes, window)
    if best is not None:
        yield Advice(
            "more_tone",
            note(
                "advice.more_tone",
                dye=dye,
                dose=float(doses[best]),
                now=now,
                opens=float(opens),
                closes=float(closes[best]),
            ),
            float(opens),
            float(closes[best]),
        )


def _nearer_goal(window: Window, planned: Trajectory) -> Iterator[Advice]:
    minutes = planned.minutes
    too_warm = first_crossing(minutes, planned.warmth - window.target.warmth_limit)
    closes = min(float(too_warm), float(_too_light(minutes, planned)))
    if closes < NARROW_MINUTES:
        return
    level = float(np.interp(closes - NARROW_MINUTES, minutes, planned.level))
    start = float(planned.level[0])
    if level < window.target.level - 0.05 and level > start + 0.1:
        goal = np.floor(level * 10.0) / 10.0
        opens = float(first_crossing(minutes, planned.level - goal))
        yield Advice(
            "nearer_goal",
            note(
                "advice.nearer_goal",
                level=float(goal),
                planned=window.target.level,
                opens=opens,
                closes=closes,
            ),
            opens,
            closes,
        )


def _tone_afterwards(
    hair: Hair, mixture: Mixture, window: Window, planned: Trajectory
) -> Iterator[Advice]:
    if window.exists or window.reached_at is None:
        return
    at = _with(hair, mixture, planned, window.reached_at)
    neutral = path_of(hair, planned.curves).lab_of_lightness(at.pigmented[..., 0])
    direction = tone_direction(at.pigmented, neutral, planned.curves)
    yield Advice(
        "tone_afterwards",
        note(
            "advice.tone_afterwards",
            minutes=window.reached_at,
            wheel=str(direction.wheel),
            beyond=float(at.warmth) - window.target.warmth_limit,
            allowance=float(np.ceil(at.warmth)),
        ),
        window.reached_at,
        None,
    )


def _stronger(
    hair: Hair, mixture: Mixture, window: Window, planned: Trajectory
) -> Iterator[Advice]:
    if window.reached_at is not None and window.closes_by != "time limit":
        return
    minutes = planned.minutes
    late = window.reached_at
    how = note("advice.not") if late is None else note("advice.only_at", minutes=late)
    enough = NARROW_MINUTES if window.exists else 0.0
    own = float(mixture.on_head_volume)
    trials = [mixture]
    for known in planned.curves.mixtures.values():
        if known.oxidant == "persulfate":
            trials.append(Mixture(known, temperature_c=mixture.temperature_c))
    for trial in trials:
        most = trial.chemistry.bound("volume").usual_high
        volumes = STRONGER_VOLUMES[most >= STRONGER_VOLUMES]
        share = trial.developer_parts / (1.0 + trial.developer_parts)
        tried = volumes[(volumes * share > own) | (trial.kind != mixture.kind)]
        if not tried.size:
            continue
        reached, _ = _edges(minutes, _at_volumes(hair, trial, tried, planned), window.target)
        good = np.flatnonzero(minutes[-1] - reached >= enough)
        if good.size:
            yield Advice(
                "stronger_mixture",
                note(
                    "advice.stronger",
                    goal=window.target.name,
                    how=how,
                    limit=float(minutes[-1]),
                    kind=trial.kind,
                    volume=float(tried[good[0]]),
                    minutes=float(reached[good[0]]),
                ),
                float(reached[good[0]]),
                None,
            )
            return
    if window.exists:
        return
    yield Advice(
        "second_visit",
        note(
            "advice.second_visit",
            goal=window.target.name,
            limit=float(minutes[-1]),
            kind=trial.kind,
            volume=float(volumes[-1]),
        ),
    )
