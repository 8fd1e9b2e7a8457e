"""One zone made ready for the search: its sections, their response, and from when until when."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.ensemble import SEED, apply_latent
from lift.model.mixture import Mixture
from lift.model.trajectory import MINUTES_RANGE, Trajectory, simulate
from lift.optics.colorimetry import lab_to_xyz, white, xyz_to_lab
from lift.practice.goal import Target
from lift.practice.service.arrange import Task
from lift.practice.service.laying import Laying, lay
from lift.practice.service.response import Response, respond
from lift.practice.service.scenario import Scenario
from lift.practice.service.zone import Zone

DEPTHS = np.array([1.0, 3.0, 5.0]) / 6.0
"""Where in a section its colour is taken, 0 outside and 1 in the middle: equal thirds."""

STEP = 0.25

_SEEN_SECTIONS = 24  # sections whose members are simulated for the band of a zone's colour


@dataclass(frozen=True, eq=False)
class ZoneWork:
    """One treated zone, ready for the search.

    Parameters
    ----------
    zone : Zone
        As planned.
    mixture : Mixture
        At the temperature it has on this hair.
    target : Target
        The goal made definite.
    laying : Laying
        When each section goes on, and how strong.
    response : Response
        Of the expected strand and the members.
    outer, inner : numpy.ndarray
        Logarithm of strength on the best and the least coated strands of each section, shape
        (1 + members, sections); row 0 is the expected strand.
    latent : numpy.ndarray
        Standard normal deviates, the expected strand's first, shape (1 + members, 4).
    curves : CurveSet
        Curve set.
    rinsing : float
        Time the rinse occupies the hands, where zones are rinsed one by one [min].
    too_light : float
        Level from which the goal is passed [-], infinity for none.
    """

    zone: Zone
    mixture: Mixture
    target: Target
    laying: Laying
    response: Response
    outer: Floats
    inner: Floats
    latent: Floats
    curves: CurveSet
    rinsing: float
    too_light: float

    @property
    def opens(self) -> Floats:
        """When the last laid, least coated strands of each section have reached the goal.

        Counted from the start of the section's laying [min], shape (1 + members, sections).
        """
        each = self.laying.ends - self.laying.starts
        return each + self.response.times(self.response.reached, self.inner)

    @property
    def offset(self) -> Floats:
        """From a section's own time to the zone's time to its rinse [min], shape (sections,)."""
        return self.laying.starts - self.laying.rinse_after

    def _ends(self, table: Floats) -> Floats:
        return self.response.times(table, self.outer)

    @property
    def closes(self) -> Floats:
        """When the first laid, best coated strands of each section pass a limit [min]."""
        return np.minimum(
            np.minimum(self._ends(self.response.too_warm), self._ends(self.response.too_light)),
            self.response.limit_minutes,
        )

    @property
    def closes_by(self) -> list[str]:
        """What closes each section's window for the expected strand."""
        warm = self._ends(self.response.too_warm)[0]
        light = self._ends(self.response.too_light)[0]
        limit = np.full(warm.shape, self.response.limit_minutes)
        first = np.argmin([warm, light, limit], axis=0)
        return [("warmth", "lightness", "time limit")[i] for i in first]

    def task(self) -> Task:
        """The zone as the search sees it."""
        return Task(
            name=self.zone.name,
            laying=self.laying.minutes,
            rinsing=self.rinsing + self.laying.rinse_minutes,
            earliest=np.max(self.offset + self.opens, axis=1),
            latest=np.min(self.offset + self.closes, axis=1),
            tail=self.laying.rinse_minutes,
        )

    def own_minutes(self, rinse_after: float) -> Floats:
        """Processing time of each section, from its start to its rinse [min]."""
        return rinse_after + self.laying.rinse_after - self.laying.starts

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
        return self._simulate(self.latent[:1], strength, own - late * each)

    def members(self, rinse_after: float) -> Trajectory:
        """Middle strands of the sections at the rinse, shape (1 + members, sections).

        The expected ones come first; of more than 24 sections, 24 are taken.
        """
        sections = self.outer.shape[1]
        some = np.unique(np.linspace(0, sections - 1, min(sections, _SEEN_SECTIONS)).astype(int))
        own = self.own_minutes(rinse_after) - 0.5 * (self.laying.ends - self.laying.starts)
        middle = 0.5 * (self.outer + self.inner)[:, some]
        return self._simulate(self.latent, middle, own[some])

    def _simulate(self, latent: Floats, log_strength: Floats, minutes: Floats) -> Trajectory:
        varied, values = apply_latent(self.zone.hair, self.curves, latent)
        rate = values["lightening_rate"] * np.exp(log_strength)
        time = np.clip(minutes, *MINUTES_RANGE)
        return simulate(
            varied, self.mixture, time, self.curves, values={**values, "lightening_rate": rate}
        )


def mean_lab(lab: Floats, axis: int = 0, weights: Floats | None = None) -> Floats:
    """CIELAB of strands seen as one, by linear mixing of what they reflect.

    XYZ is linear in reflectance, so mixing XYZ mixes reflectance (one light, D65, 10 degrees).

    Parameters
    ----------
    lab : numpy.ndarray
        CIELAB, shape (..., 3).
    axis : int
        Axis to mix over, not the last.
    weights : numpy.ndarray, optional
        Share of each, summing to 1 over the first axis, shape (k,) or (k, ...) where k runs along
        `axis`; default: equal.

    Returns
    -------
    numpy.ndarray
        CIELAB without `axis`.
    """
    reference = white()
    xyz = lab_to_xyz(lab, reference)
    if weights is None:
        return xyz_to_lab(xyz.mean(axis=axis), reference)
    xyz = np.moveaxis(xyz, axis, 0)
    share = np.asarray(weights).reshape(*np.shape(weights), *(1,) * (xyz.ndim - np.ndim(weights)))
    return xyz_to_lab(np.sum(share * xyz, axis=0), reference)


def make_ready(
    scenario: Scenario,
    zone: Zone,
    target: Target,
    curves: CurveSet,
    latent: Floats,
    *,
    too_light: float = np.inf,
    known: dict[Any, Response] | None = None,
) -> ZoneWork:
    """Make a treated zone ready for the search.

    Parameters
    ----------
    scenario : Scenario
        Gives salon, mixtures and assumptions.
    zone : Zone
        One with a mixture.
    target : Target
        The goal made definite.
    curves : CurveSet
        Curve set.
    latent : numpy.ndarray
        Standard normal deviates, the expected strand's first, shape (1 + members, 4): what is not
        known of this head, the same for all its zones.
    too_light : float
        Level from which the goal is passed [-].
    known : dict, optional
        Responses worked out before for the same deviates; new ones are added.

    Returns
    -------
    ZoneWork
    """
    values = scenario.values
    mixture = scenario.mixture_on(zone)
    laying = lay(zone.placement, scenario.salon, values)
    # A zone's sections differ in the same way whatever else is planned.
    random = np.random.default_rng([SEED, [z.name for z in scenario.zones].index(zone.name)])
    own = values["section_log_sd"] * random.standard_normal((len(latent), zone.placement.sections))
    own[0] = 0.0
    outer = np.log(laying.strength) + own
    middle = 0.5 * zone.placement.section_thickness_mm / values["coat_depth_mm"]
    low, high = float(outer.min()) - middle, float(outer.max())
    # Whole steps, so that a slightly different placement finds the response known.
    span = np.floor(low / STEP) * STEP, np.ceil(high / STEP) * STEP
    # The objects themselves, not their addresses: a trial's mixture may be gone by the time the
    # next one is made, and its address with it.
    key = (
        zone.hair,
        scenario.mixtures[zone.mixture or ""],
        float(mixture.temperature_c),
        target,
        too_light,
        scenario.salon.limit_minutes,
        span,
    )
    known = {} if known is None else known
    if key not in known:
        known[key] = respond(
            zone.hair,
            mixture,
            target,
            curves,
            too_light=too_light,
            limit_minutes=scenario.salon.limit_minutes,
            log_strength=span,
            latent=latent,
        )
    return ZoneWork(
        zone=zone,
        mixture=mixture,
        target=target,
        laying=laying,
        response=known[key],
        outer=outer,
        inner=outer - middle,
        latent=latent,
        curves=curves,
        rinsing=values["rinse_minutes"],
        too_light=too_light,
    )
