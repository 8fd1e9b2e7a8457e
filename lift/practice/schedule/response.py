"""Response: when hair reaches the goal and passes its limit, for any strength of the mixture.

Colour follows exposure, and a weaker mixture only slows it. So one table over strength answers
for every section of a zone, however long its mixture has waited in the bowl and however deep its
strands lie. And where a mixture carries no tone, the exposures at which the goal is reached and
passed are the same for every mixture: they are found once, for all that are tried.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model.course import conditions_of, exposure, paced
from lift.model.curves import CurveSet
from lift.model.ensemble import MEMBERS, apply_latent
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import path_of
from lift.model.strand import hair_pigment, lightened, strand_lab
from lift.model.trajectory import Trajectory, exposure_before, simulate
from lift.practice.inside import Crossings, crossings, first_crossing
from lift.practice.target import Target
from lift.practice.window import time_grid

NODE_SPACING = 0.25
"""Distance of the table's nodes in the logarithm of strength."""

ROOT_STEP = 1.0 / 24.0
"""Step, in the root of exposure, at which a goal's margin is computed, whatever the span: against a
third of it, hair is inside less than 0.1 min sooner or later (tests/practice/schedule)."""

LEAST_SPAN = 0.25
NEVER = 1e9
"""More exposure [-] than there ever is."""

_SOONEST = 1e-3  # [min]: a time of zero has no reciprocal


@dataclass(frozen=True, eq=False)
class Response:
    """Own processing times over log strength; row 0 is the expected strand, then the members.

    Nodes of `log_strength` are evenly spaced and rising, shape (nodes,). The goal is `reached` and
    the strand `too_warm` or `too_light` at times [min] of shape (1 + members, nodes), infinity
    where never. The course of the expected strand over `minutes` [min], shape (times,), is worked
    out when first asked for, by `simulated`.
    """

    log_strength: Floats
    reached: Floats
    too_warm: Floats
    too_light: Floats
    minutes: Floats
    limit_minutes: float
    simulated: Callable[[], Trajectory]

    @cached_property
    def expected(self) -> Trajectory:
        """Course of the expected strand, shape (nodes, times)."""
        return self.simulated()

    @property
    def lab(self) -> Floats:
        """CIELAB of the expected strand, shape (nodes, times, 3)."""
        return self.expected.lab

    @property
    def level(self) -> Floats:
        """Level of the expected strand [-], shape (nodes, times)."""
        return self.expected.level

    @property
    def warmth(self) -> Floats:
        """Warmth of the expected strand [dC*], shape (nodes, times)."""
        return self.expected.warmth

    @property
    def closes(self) -> Floats:
        """When the strand is too warm, too light or past the limit [min]."""
        return np.minimum(np.minimum(self.too_warm, self.too_light), self.limit_minutes)

    def times(self, table: Floats, log_strength: Floats) -> Floats:
        """Times [min] of one of the tables at other strengths, shape (rows, sections).

        Parameters
        ----------
        table : numpy.ndarray
            Times [min], shape (rows, nodes).
        log_strength : numpy.ndarray
            Shape (rows, sections) or (sections,); beyond the nodes the nearest node holds.

        Notes
        -----
        Linear in the reciprocal of time, which is nearly linear in strength and is 0 where the
        time is infinite.
        """
        speed = 1.0 / np.maximum(table, _SOONEST)
        left, share = self._between(log_strength)
        rows = np.arange(table.shape[0])[:, None]
        fast = (1.0 - share) * speed[rows, left] + share * speed[rows, left + 1]
        with np.errstate(divide="ignore"):
            return np.asarray(np.where(fast > 0.0, 1.0 / fast, np.inf))

    def course(self, log_strength: float, minutes: float) -> tuple[Floats, float, float]:
        """Colour, level and warmth of the expected strand at one strength and time [min]."""
        left, share = self._between(np.asarray(log_strength))
        weight, some = np.array([1.0 - share, share]), slice(int(left), int(left) + 2)

        def now(table: Floats) -> float:
            return float(np.interp(minutes, self.minutes, weight @ table[some]))

        lab = np.array([now(self.lab[..., axis]) for axis in range(3)])
        return lab, now(self.level), now(self.warmth)

    def _between(
        self, log_strength: Floats
    ) -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.int64]], Floats]:
        """Node to the left of each strength, and the share of the one to its right."""
        nodes = self.log_strength
        at = np.clip((log_strength - nodes[0]) / (nodes[1] - nodes[0]), 0.0, nodes.size - 1.0)
        left = np.minimum(at.astype(int), nodes.size - 2)
        return left, at - left


@dataclass(frozen=True)
class Asked:
    """What a response depends on, beside the curve set and the deviates.

    Hair and mixture, as mixed in the bowl, are compared by identity, and kept alive by whatever
    keeps this. Strengths asked for lie between the two of `log_strength`.
    """

    hair: Hair
    mixture: Mixture
    temperature_c: float
    target: Target
    limit_minutes: float
    log_strength: tuple[float, float]


Known = dict[tuple[Hair, Target], tuple[float, Crossings]]
"""Exposures and how far they were looked for: they depend on hair and goal, beside curve set and
deviates."""


def deck(latent: ArrayLike, *, prior: bool) -> Floats:
    """Deviates with the expected strand's before them, shape (1 + members, 5).

    That is zero for a plain draw (`prior`), the mean of any other.
    """
    members = np.asarray(latent, dtype=np.float64)
    thin = members[:: max(1, len(members) // MEMBERS)]
    centre = np.zeros((1, members.shape[1])) if prior else members.mean(axis=0, keepdims=True)
    return np.concatenate([centre, thin])


@dataclass(frozen=True, eq=False)
class Responses:
    """Responses of one head, worked out when first asked for and remembered in `known`.

    So are exposures and the targets of its zones. Remembered under hair and mixture themselves,
    never under their addresses: a trial's mixture may be gone by the time the next one is made, and
    its address with it. The deviates `latent`, the expected strand's first, shape (1 + members, 5),
    are what is not known of this head, the same for all zones.
    """

    curves: CurveSet
    latent: Floats
    known: dict[Asked, Response] = field(default_factory=dict)
    exposures: Known = field(default_factory=dict)
    targets: dict[Hashable, Target] = field(default_factory=dict)

    def of(self, asked: Asked) -> Response:
        """Response to what is asked."""
        if asked not in self.known:
            self.known[asked] = respond(asked, self.curves, self.latent, self.exposures)
        return self.known[asked]


def respond(
    asked: Asked,
    curves: CurveSet,
    latent: ArrayLike,
    exposures: Known | None = None,
) -> Response:
    """Tabulate a response; deviates of shape (1 + members, 5), the expected strand's first.

    `exposures` holds what is known of these deviates, and learns.
    """
    minutes = time_grid(asked.limit_minutes)
    low, high = asked.log_strength
    nodes = np.linspace(low, high, max(2, int(np.ceil((high - low) / NODE_SPACING)) + 1))
    if nodes[1] <= nodes[0]:
        nodes = np.array([low, low + NODE_SPACING])
    rows = np.asarray(latent, dtype=np.float64)
    mixture = asked.mixture.replace(temperature_c=asked.temperature_c)
    strength = np.exp(nodes)[:, None]
    if mixture.properties(curves.values)["tone"]:
        course = _course(asked.hair, mixture, minutes, curves, rows, strength)
        found = crossings(course, minutes, asked.target)
    else:
        found = _timed(asked, mixture, minutes, curves, rows, strength, exposures)
    table = (len(rows), nodes.size)
    return Response(
        log_strength=nodes,
        reached=found.reached.reshape(table),
        too_warm=found.too_warm.reshape(table),
        too_light=found.too_light.reshape(table),
        minutes=minutes,
        limit_minutes=asked.limit_minutes,
        simulated=partial(_course, asked.hair, mixture, minutes, curves, rows[:1], strength),
    )


def _strands(hair: Hair, curves: CurveSet, rows: Floats, strength: Floats) -> Any:
    """Hair and values of every member at every strength, shape (members * strengths, 1)."""
    varied, values = apply_latent(hair, curves, np.repeat(rows, len(strength), axis=0))
    return varied, paced(values, np.tile(strength, (len(rows), 1)))


def _course(
    hair: Hair, mixture: Mixture, minutes: Floats, curves: CurveSet, rows: Floats, strength: Floats
) -> Trajectory:
    varied, values = _strands(hair, curves, rows, strength)
    return simulate(varied, mixture, minutes, curves, values=values)


def _timed(
    asked: Asked,
    mixture: Mixture,
    minutes: Floats,
    curves: CurveSet,
    rows: Floats,
    strength: Floats,
    known: Known | None,
) -> Crossings:
    """When strands without tone have the exposures at which they reach and pass a goal [min]."""
    varied, values = apply_latent(asked.hair, curves, rows)
    # Rates are as strong as the mixture, and so is what they sum up to.
    once = exposure(conditions_of(varied, mixture, minutes, values), values)
    gained = np.broadcast_to(once, (len(rows), minutes.size))[:, None] * strength
    span = float(2.0 ** np.ceil(np.log2(max(float(gained.max()), LEAST_SPAN))))
    key = asked.hair, asked.target
    already = None if known is None else known.get(key)
    # What is known of more exposure holds for less.
    if already is None or already[0] < span:
        already = span, _exposed(asked, curves, rows, span)
        if known is not None:
            known[key] = already
    found = already[1]

    def when(exposed: Floats) -> Floats:
        asked_for = exposed.reshape(-1, 1, 1)
        margin = gained - np.where(np.isfinite(asked_for), asked_for, NEVER)
        return np.asarray(first_crossing(minutes, margin))

    return Crossings(when(found.reached), when(found.too_warm), when(found.too_light))


def _exposed(asked: Asked, curves: CurveSet, rows: Floats, span: float) -> Crossings:
    """Exposures gained at which strands reach and pass a goal [-], infinity where never."""
    nodes = np.arange(0.0, np.sqrt(span) + ROOT_STEP, ROOT_STEP) ** 2
    # White fibres decide nothing: what is asked is asked of the pigmented ones.
    hair, values = apply_latent(asked.hair.replace(grey_percent=0.0), curves, rows)
    path = path_of(hair, curves, values)
    prior = exposure_before(hair, values, path)
    natural = hair_pigment(hair, values)
    exposed = np.broadcast_to(prior, (len(rows), 1)) + nodes
    pigment = lightened(natural, exposed, values)
    lab = strand_lab(pigment, values)
    level = path.level_of_lightness(lab[..., 0])
    lift = level - path.level_of_lightness(strand_lab(natural, values)[..., 0])
    warmth = path.warmth(lab)
    course = Trajectory(
        minutes=np.broadcast_to(nodes, level.shape),
        lab=lab,
        pigmented=lab,
        white=None,
        underpigment=lab,
        level=level,
        lift=lift,
        warmth=warmth,
        blend_warmth=warmth,
        exposed=warmth,
        exposure=exposed,
        pigment=pigment,
        tone={},
        curves=curves,
        values=values,
    )
    return crossings(course, nodes, asked.target)
