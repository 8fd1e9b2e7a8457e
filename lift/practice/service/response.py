"""Response: when hair reaches the goal and passes its limit, for any strength of the mixture.

Colour follows exposure, and a weaker mixture only slows it. So one table over strength answers
for every section of a zone, however long its mixture has waited and however deep it lies.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.ensemble import apply_latent
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import Trajectory, simulate
from lift.practice.goal import Target
from lift.practice.window import first_crossing, goal_margin, time_grid

NODE_SPACING = 0.25
"""Distance of the table's nodes in the logarithm of strength."""

_SOONEST = 1e-3  # [min]: a time of zero has no reciprocal
_NEVER_LEVEL = 99.0


@dataclass(frozen=True, eq=False)
class Response:
    """Own processing times over log strength; row 0 is the expected strand, then the members.

    Parameters
    ----------
    log_strength : numpy.ndarray
        Nodes, evenly spaced, rising, shape (nodes,).
    reached, too_warm, too_light : numpy.ndarray
        When the goal is reached, and when the strand is too warm or too light [min], infinity
        where it never is, shape (1 + members, nodes).
    minutes : numpy.ndarray
        Times of the expected strand's course [min], shape (times,).
    lab, level, warmth : numpy.ndarray
        Course of the expected strand, shape (nodes, times, 3) and (nodes, times).
    limit_minutes : float
        Longest time on the hair [min].
    """

    log_strength: Floats
    reached: Floats
    too_warm: Floats
    too_light: Floats
    minutes: Floats
    lab: Floats
    level: Floats
    warmth: Floats
    limit_minutes: float

    @property
    def closes(self) -> Floats:
        """When the strand is too warm, too light or past the time limit [min]."""
        return np.minimum(np.minimum(self.too_warm, self.too_light), self.limit_minutes)

    def times(self, table: Floats, log_strength: Floats) -> Floats:
        """Times at other strengths.

        Parameters
        ----------
        table : numpy.ndarray
            One of the tables above [min], shape (rows, nodes).
        log_strength : numpy.ndarray
            Shape (rows, sections) or (sections,); beyond the nodes the nearest node holds.

        Returns
        -------
        numpy.ndarray
            Time [min], shape (rows, sections).

        Notes
        -----
        Linear in the reciprocal of time, which is nearly linear in strength and is 0 where the
        time is infinite.
        """
        speed = 1.0 / np.maximum(table, _SOONEST)
        nodes = self.log_strength
        at = np.clip((log_strength - nodes[0]) / (nodes[1] - nodes[0]), 0.0, nodes.size - 1.0)
        left = np.minimum(at.astype(int), nodes.size - 2)
        share = at - left
        rows = np.arange(table.shape[0])[:, None]
        fast = (1.0 - share) * speed[rows, left] + share * speed[rows, left + 1]
        with np.errstate(divide="ignore"):
            return np.asarray(np.where(fast > 0.0, 1.0 / fast, np.inf))

    def course(self, log_strength: float, minutes: float) -> tuple[Floats, float, float]:
        """Colour, level and warmth of the expected strand at one strength and time [min]."""
        nodes = self.log_strength
        at = float(np.clip((log_strength - nodes[0]) / (nodes[1] - nodes[0]), 0, nodes.size - 1))
        left = min(int(at), nodes.size - 2)
        weight = np.array([1.0 - (at - left), at - left])
        some = slice(left, left + 2)

        def now(table: Floats) -> float:
            return float(np.interp(minutes, self.minutes, weight @ table[some]))

        lab = np.array([now(self.lab[..., axis]) for axis in range(3)])
        return lab, now(self.level), now(self.warmth)


def respond(
    hair: Hair,
    mixture: Mixture,
    target: Target,
    curves: CurveSet,
    *,
    too_light: float = np.inf,
    limit_minutes: float,
    log_strength: tuple[float, float],
    latent: ArrayLike,
) -> Response:
    """Tabulate the response of one zone's hair to one mixture.

    Parameters
    ----------
    hair : Hair
        As judged; single numbers.
    mixture : Mixture
        As freshly mixed.
    target : Target
        The goal made definite.
    curves : CurveSet
        Curve set.
    too_light : float
        Level from which the goal is passed [-].
    limit_minutes : float
        Longest time on the hair [min], 1 to 60.
    log_strength : tuple of float
        Lowest and highest logarithm of strength that is asked for.
    latent : array_like
        Standard normal deviates, the expected strand's first, shape (1 + members, 4).

    Returns
    -------
    Response
    """
    minutes = time_grid(limit_minutes)
    low, high = log_strength
    nodes = np.linspace(low, high, max(2, int(np.ceil((high - low) / NODE_SPACING)) + 1))
    if nodes[1] <= nodes[0]:
        nodes = np.array([low, low + NODE_SPACING])
    rows = np.asarray(latent, dtype=np.float64)
    shape = (len(rows), nodes.size, minutes.size)
    varied, values = apply_latent(hair, curves, np.repeat(rows, nodes.size, axis=0))
    strength = np.tile(np.exp(nodes), len(rows))[:, None]
    values = {**values, "lightening_rate": values["lightening_rate"] * strength}
    course = simulate(varied, mixture, minutes, curves, values=values)
    light = course.level - min(too_light, _NEVER_LEVEL)
    return Response(
        log_strength=nodes,
        reached=_crossing(minutes, goal_margin(course, target) + 1e-9, shape),
        too_warm=_crossing(minutes, course.warmth - target.warmth_limit, shape),
        too_light=_crossing(minutes, light, shape),
        minutes=minutes,
        limit_minutes=limit_minutes,
        **_expected(course, shape),
    )


def _crossing(minutes: Floats, margin: Floats, shape: tuple[int, ...]) -> Floats:
    return first_crossing(minutes, margin).reshape(shape[:2])


def _expected(course: Trajectory, shape: tuple[int, ...]) -> dict[str, Floats]:
    return {
        "lab": course.lab.reshape(*shape, 3)[0],
        "level": course.level.reshape(shape)[0],
        "warmth": course.warmth.reshape(shape)[0],
    }
