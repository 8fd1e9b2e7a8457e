"""Work: one zone made ready for the search - its sections, and from when until when."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from lift.chemistry.depletion import strength_left
from lift.errors import Floats, LiftError, check_number
from lift.model.course import paced
from lift.model.curves import CurveSet
from lift.model.domain import longest_minutes
from lift.model.ensemble import SEED, apply_latent
from lift.model.mixture import Mixture
from lift.model.trajectory import Trajectory, simulate
from lift.practice.scenario.place import placed
from lift.practice.scenario.scenario import Placement, Salon, Scenario, Zone
from lift.practice.schedule.response import NODE_SPACING, Asked, Response, Responses
from lift.practice.schedule.task import Task
from lift.practice.target import Target
from lift.words import note

DEPTHS = np.array([1.0, 3.0, 5.0]) / 6.0
"""Where in a section its colour is taken, 0 outside and 1 in the middle: equal thirds."""

MIDDLE = slice(1, -1)
"""Of `ZoneWork.strands`, those that stand for the section's hair: between the outermost two."""

CLOSES_BY = ("warmth", "lightness", "time_limit")

_SEEN_SECTIONS = 24  # sections whose members are simulated for the band of a zone's colour


@dataclass(frozen=True, eq=False)
class Laying:
    """When each section goes on and how strong; times from the start of the zone [min].

    All have shape (sections,): `starts` and `ends` of its laying, `strength` of its mixture per
    strength when freshly mixed, number of the `bowl` it comes from, and how long after the start
    of the zone's rinse it is rinsed.
    """

    starts: Floats
    ends: Floats
    strength: Floats
    bowl: np.ndarray[tuple[int], np.dtype[np.int64]]
    rinse_after: Floats

    @property
    def minutes(self) -> float:
        """Time until the last section is on [min]."""
        return float(self.ends[-1])

    @property
    def rinse_minutes(self) -> float:
        """Time from the first to the last section rinsed [min]; 0 when all at one moment."""
        return float(self.rinse_after[-1])

    @property
    def offset(self) -> Floats:
        """From a section's own time to the zone's time to its rinse [min], shape (sections,)."""
        return self.starts - self.rinse_after


def lay(placement: Placement, salon: Salon, values: Mapping[str, float]) -> Laying:
    """Lay the sections of a zone.

    Each pair of hands lays a section of its own; a fresh bowl is mixed at the start and whenever
    the share of one bowl is used up, which takes the changeover time.
    """
    hands = 1 + salon.assistants
    each = placement.seconds_per_section / 60.0 / salon.working_speed
    number = np.arange(placement.sections)
    # array_split's sizes: as even as they can be, the larger shares first.
    sizes = [len(part) for part in np.array_split(number, placement.bowls)]
    bowl = np.repeat(np.arange(placement.bowls), sizes)
    first = np.concatenate([[0], np.cumsum(sizes)[:-1]])[bowl]
    rounds = np.array([-(-size // hands) for size in sizes])
    bowl_starts = np.concatenate([[0], np.cumsum(rounds)[:-1]]) * each
    bowl_starts = bowl_starts + np.arange(placement.bowls) * values["changeover_minutes"]
    in_bowl = (number - first) // hands * each
    starts = bowl_starts[bowl] + in_bowl
    return Laying(
        starts=starts,
        ends=starts + each,
        strength=strength_left(in_bowl, values["bowl_fade_minutes"]),
        bowl=bowl + 1,
        rinse_after=np.asarray(number * placement.rinse_seconds_per_section / 60.0),
    )


@dataclass(frozen=True, eq=False)
class ZoneWork:
    """One treated zone, ready for the search.

    `outer` and `inner` are the logarithm of strength on the best and the least coated strands of
    each section, shape (1 + members, sections), row 0 the expected strand. `rinsing` is the time
    the rinse occupies the hands, where zones are rinsed one by one [min].
    """

    zone: Zone
    asked: Asked
    laying: Laying
    response: Response
    outer: Floats
    inner: Floats
    responses: Responses
    rinsing: float

    @property
    def target(self) -> Target:
        """The goal made definite."""
        return self.asked.target

    @property
    def mixture(self) -> Mixture:
        """The mixture at the temperature it has on this hair."""
        return self.asked.mixture.replace(temperature_c=self.asked.temperature_c)

    @property
    def curves(self) -> CurveSet:
        """Curve set."""
        return self.responses.curves

    @property
    def opens(self) -> Floats:
        """When the last laid, least coated strands of each section have reached the goal.

        Counted from the start of the section's laying [min], shape (1 + members, sections).
        """
        each = self.laying.ends - self.laying.starts
        return each + self.response.times(self.response.reached, self.inner)

    def _ends(self) -> list[Floats]:
        """When the best coated strands pass each limit [min], in the order of `CLOSES_BY`."""
        answer = self.response
        warm, light = (answer.times(t, self.outer) for t in (answer.too_warm, answer.too_light))
        return [warm, light, np.full(warm.shape, answer.limit_minutes)]

    @property
    def closes(self) -> Floats:
        """When the first laid, best coated strands of each section pass a limit [min]."""
        return np.asarray(np.minimum.reduce(self._ends()))

    @property
    def closes_by(self) -> list[str]:
        """What closes each section's window for the expected strand."""
        return [CLOSES_BY[i] for i in np.argmin([end[0] for end in self._ends()], axis=0)]

    def task(self) -> Task:
        """The zone as the search sees it."""
        minutes = self.zone.minutes
        return Task(
            name=self.zone.name,
            laying=self.laying.minutes,
            rinsing=self.rinsing + self.laying.rinse_minutes,
            earliest=np.max(self.laying.offset + self.opens, axis=1),
            latest=np.min(self.laying.offset + self.closes, axis=1),
            tail=self.laying.rinse_minutes,
            fixed=None if minutes is None else minutes + float(self.laying.offset.min()),
        )

    def own_minutes(self, rinse_after: float) -> Floats:
        """Processing time of each section, from its start to its rinse [min]."""
        return rinse_after - self.laying.offset

    def strands(self, rinse_after: float) -> Trajectory:
        """Expected strands at the rinse, shape (sections, 2 + depths).

        First the best coated and first laid strand, last the least coated and last laid one,
        between them those at `DEPTHS` laid halfway.
        """
        own = self.own_minutes(rinse_after)[:, None]
        each = (self.laying.ends - self.laying.starts)[:, None]
        depth = np.concatenate([[0.0], DEPTHS, [1.0]])
        late = np.concatenate([[0.0], np.full(DEPTHS.size, 0.5), [1.0]])
        strength = self.outer[0][:, None] + depth * (self.inner[0] - self.outer[0])[:, None]
        return self.simulate(self.responses.latent[:1], strength, own - late * each)

    def members(self, rinse_after: float) -> Trajectory:
        """Middle strands of the sections at the rinse, shape (1 + members, sections).

        The expected ones come first; of more than 24 sections, 24 are taken.
        """
        sections = self.outer.shape[1]
        some = np.unique(np.linspace(0, sections - 1, min(sections, _SEEN_SECTIONS)).astype(int))
        own = self.own_minutes(rinse_after) - 0.5 * (self.laying.ends - self.laying.starts)
        middle = 0.5 * (self.outer + self.inner)[:, some]
        return self.simulate(self.responses.latent, middle, own[some])

    def simulate(self, latent: Floats, log_strength: Floats, minutes: Floats) -> Trajectory:
        """Strands of given deviates at strengths and own times [min], of broadcast shape."""
        varied, values = apply_latent(self.zone.hair, self.curves, latent)
        values = paced(values, np.exp(log_strength))
        # Past the domain nothing is predicted: a section left on too long is shown as at its end.
        time = np.clip(minutes, 0.0, longest_minutes(self.mixture, self.curves))
        return simulate(varied, self.mixture, time, self.curves, values=values)


def make_ready(scenario: Scenario, zone: Zone, target: Target, responses: Responses) -> ZoneWork:
    """Make a treated zone ready for the search.

    Raises
    ------
    LiftError
        When its minutes are fixed and fewer than its laying takes, or more than the limit.
    """
    values = scenario.values
    laying = lay(zone.placement, scenario.salon, values)
    limit = min(
        scenario.salon.limit_minutes,
        longest_minutes(scenario.mixtures[zone.mixture or ""], responses.curves),
    )
    if zone.minutes is not None:
        # It is rinsed once all is on.
        least = laying.minutes - float(laying.offset.min())
        path = ("zones", scenario.zones.index(zone), "minutes")
        try:
            check_number(
                note("scenario.minutes_of", zone=zone.name), zone.minutes, least, limit, "min"
            )
        except LiftError as error:
            raise placed(error, path, scenario.where) from None
    # A zone's sections differ in the same way whatever else is planned.
    random = np.random.default_rng([SEED, [z.name for z in scenario.zones].index(zone.name)])
    shape = len(responses.latent), zone.placement.sections
    own = values["section_log_sd"] * random.standard_normal(shape)
    own[0] = 0.0
    outer = np.log(laying.strength) + own
    middle = 0.5 * zone.placement.section_thickness_mm / values["coat_depth_mm"]
    low, high = float(outer.min()) - middle, float(outer.max())
    asked = Asked(
        hair=zone.hair,
        mixture=scenario.mixtures[zone.mixture or ""],
        temperature_c=scenario.temperature_on(zone),
        target=target,
        limit_minutes=limit,
        # Whole steps, so that a slightly different placement finds the response known.
        log_strength=(
            float(np.floor(low / NODE_SPACING) * NODE_SPACING),
            float(np.ceil(high / NODE_SPACING) * NODE_SPACING),
        ),
    )
    return ZoneWork(
        zone=zone,
        asked=asked,
        laying=laying,
        response=responses.of(asked),
        outer=outer,
        inner=outer - middle,
        responses=responses,
        rinsing=values["rinse_minutes"],
    )
