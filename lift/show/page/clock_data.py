"""Everything that the clock needs to run without a server."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import ArrayLike

from lift.answers.encode import Part
from lift.practice.service.after_rinse import pace_of
from lift.practice.service.clock import start_clock
from lift.practice.service.clock_face import READY_MINUTES
from lift.practice.service.clock_looks import ZoneLooks, zone_looks
from lift.practice.service.clock_zone import ZoneClock
from lift.practice.service.plan import Plan
from lift.practice.toning.toner_step import TonerStep
from lift.practice.trial.look import LEAD_MINUTES
from lift.practice.trial.observation import Observation
from lift.show.lock.shades import shade_texts
from lift.show.page.answer import Lock, Shades, natural_scale
from lift.show.said_strand import seen_notes
from lift.words import say, says

DIGITS = 3
"""Of the members' tables: a thousandth of a minute, and of log strength."""


class MembersData(Part):
    """The strands that this hair could turn out to be, one row each.

    Times [min] at the nodes of `log_strength`, null for never, and by how much the log strength of
    each section is more than expected.
    """

    reached: list[list[float | None]]
    closes: list[list[float | None]]
    own: list[list[float]]


class LooksData(Part):
    """Looks at a zone: when the next is advised, and what was seen.

    It is advised `after` the start of the zone's first section, and a look at a strand laid
    `ahead_by` before the rest after `ahead` [min], null where none would tell.
    """

    after: float | None
    ahead: float | None
    ahead_by: float | None
    count: int
    told: list[str]
    refused: str | None


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
    planned_chance: float
    share: float | None
    chosen: bool
    hands: int
    toner: str | None
    log_strength: list[float]
    reached: list[float | None]
    closes: list[float | None]
    members: MembersData
    looks: LooksData
    minutes: list[float]
    colours: list[list[Shades]]
    level: list[list[float]]


class ToneData(Part):
    """A zone that is toned and nothing else, and what is in its bowl."""

    name: str
    toner: str


class PaceData(Part):
    """How long the work with toners takes [min]."""

    changeover: float
    laying: float
    minutes: float
    rinse: float


class ClockData(Part):
    """Tables from which a browser works out every time of the clock by itself.

    Numbers are not rounded but for those of the members, so that the browser's clock is the
    library's. `levels` is natural hair of level 1 to 10, for those beside which the hair on it
    lies.
    """

    title: str
    together: bool
    rinse_lasts: float
    hands_minutes: float
    ready_minutes: float
    lead_minutes: float
    pace: PaceData
    cautions: list[str]
    zones: list[ZoneData]
    tones: list[ToneData]
    levels: list[Lock]


def clock_data(
    result: Plan, seen: Mapping[str, tuple[Observation, ...]] | None = None
) -> ClockData:
    """Tables of a plan's clock, with what was seen of its zones, by name."""
    looks = {
        z.zone.name: zone_looks(result.service, z.zone.name, (seen or {}).get(z.zone.name, ()))
        for z in result.zones
    }
    clock = start_clock(result, looks)
    steps = {z.zone.name: z.toner_step for z in result.zones}
    values = result.scenario.values
    return ClockData(
        title=result.scenario.title,
        together=clock.together,
        rinse_lasts=result.service.rinse_lasts,
        hands_minutes=values["hands_minutes"],
        ready_minutes=READY_MINUTES,
        lead_minutes=LEAD_MINUTES,
        pace=PaceData(**vars(pace_of(values))),
        cautions=says(result.cautions),
        zones=[_zone(zone, steps[zone.name], looks[zone.name]) for zone in clock.zones],
        tones=[ToneData(each.zone.name, say(each.toner_step.bowl)) for each in result.toned],
        levels=[*natural_scale(result.curves)],
    )


def _zone(zone: ZoneClock, toner: TonerStep | None, looks: ZoneLooks) -> ZoneData:
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
        planned_chance=zone.planned_chance,
        share=zone.share,
        chosen=zone.chosen,
        hands=zone.hands,
        toner=None if toner is None else say(toner.bowl),
        log_strength=answer.log_strength.tolist(),
        reached=_finite(answer.reached[0]),
        closes=_finite(answer.closes[0]),
        members=MembersData(
            reached=[_finite(row) for row in np.round(answer.reached[1:], DIGITS)],
            closes=[_finite(row) for row in np.round(answer.closes[1:], DIGITS)],
            own=np.round(zone.own, DIGITS).tolist(),
        ),
        looks=_looks(looks),
        minutes=answer.minutes.tolist(),
        colours=[colours[i * times : (i + 1) * times] for i in range(nodes)],
        level=np.round(answer.level, 3).tolist(),
    )


def _looks(looks: ZoneLooks) -> LooksData:
    test = looks.test
    return LooksData(
        after=looks.after,
        ahead=looks.ahead,
        ahead_by=looks.ahead_by,
        count=0 if test is None else len(test.observations),
        told=[] if test is None else says(seen_notes(test)),
        refused=None if looks.refused is None else say(looks.refused),
    )


def _finite(times: ArrayLike) -> list[float | None]:
    rows: Iterable[float] = np.asarray(times).tolist()
    return [t if np.isfinite(t) else None for t in rows]
