"""Everything that the clock needs to run without a server."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike

from lift.answers.encode import Part
from lift.practice.service.after_rinse import pace_of
from lift.practice.service.clock import ZoneClock, start_clock
from lift.practice.service.plan import Plan
from lift.practice.toning.toner_step import TonerStep
from lift.show.lock.shades import shade_texts
from lift.show.page.answer import Lock, Shades, natural_scale
from lift.words import say, says


class ZoneData(Part):
    """Tables of one zone; times in minutes, null for never; one row a node of `log_strength`."""

    name: str
    planned_starts: list[float]
    planned_ends: list[float]
    rinse_after: list[float]
    bowl: list[int]
    inner_less: float
    bowl_fade_minutes: float
    planned_start: float
    planned_wait: float
    share: float
    hands: int
    toner: str | None
    log_strength: list[float]
    reached: list[float | None]
    closes: list[float | None]
    minutes: list[float]
    colours: list[list[Shades]]
    level: list[list[float]]


class PaceData(Part):
    """How long the work with toners takes [min]."""

    changeover: float
    laying: float
    minutes: float
    rinse: float


class ClockData(Part):
    """Tables from which a browser works out every time of the clock by itself.

    Numbers are not rounded, so that the browser's clock is the library's. `levels` is natural hair
    of level 1 to 10, for those beside which the hair on it lies.
    """

    title: str
    together: bool
    rinse_lasts: float
    pace: PaceData
    cautions: list[str]
    zones: list[ZoneData]
    levels: list[Lock]


def clock_data(result: Plan) -> ClockData:
    """Tables of a plan's clock."""
    clock = start_clock(result)
    steps = {z.zone.name: z.toner_step for z in result.zones}
    return ClockData(
        title=result.scenario.title,
        together=clock.together,
        rinse_lasts=result.service.rinse_lasts,
        pace=PaceData(**vars(pace_of(result.scenario.values))),
        cautions=says(result.cautions),
        zones=[_zone(zone, steps[zone.name]) for zone in clock.zones],
        levels=[*natural_scale(result.curves)],
    )


def _zone(zone: ZoneClock, toner: TonerStep | None) -> ZoneData:
    answer = zone.response
    nodes, times, _ = answer.lab.shape
    colours = shade_texts(answer.lab.reshape(-1, 3))
    return ZoneData(
        name=zone.name,
        planned_starts=zone.laying.starts.tolist(),
        planned_ends=zone.laying.ends.tolist(),
        rinse_after=zone.laying.rinse_after.tolist(),
        bowl=zone.laying.bowl.tolist(),
        inner_less=zone.inner_less,
        bowl_fade_minutes=zone.bowl_fade_minutes,
        planned_start=zone.planned_start,
        planned_wait=zone.planned_wait,
        share=zone.share,
        hands=zone.hands,
        toner=None if toner is None else say(toner.bowl),
        log_strength=answer.log_strength.tolist(),
        reached=_finite(answer.reached[0]),
        closes=_finite(answer.closes[0]),
        minutes=answer.minutes.tolist(),
        colours=[colours[i * times : (i + 1) * times] for i in range(nodes)],
        level=np.round(answer.level, 3).tolist(),
    )


def _finite(times: ArrayLike) -> list[float | None]:
    rows: Iterable[float] = np.asarray(times).tolist()
    return [t if np.isfinite(t) else None for t in rows]
