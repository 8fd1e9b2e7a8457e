"""A course from few times: in the root of time, colour is as good as a polynomial.

Peroxide soaks in with the root of time, and all that follows is smooth in it. So many times of
many members are interpolated from `COUNT` computed ones, Chebyshev's, unless the coefficients of
the polynomial say that this would be off by more than `TOLERANCE`.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from lift.errors import Floats
from lift.model.course import conditions_of, tones_formed
from lift.model.curves import CurveSet, Values
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import NaturalPath, path_of
from lift.model.trajectory import Trajectory, trajectory_of

COUNT = 24
TOLERANCE = 3e-4
"""CIELAB units; usual services are off by 1e-5, extreme ones are computed time by time."""

TAIL = 3


@cache
def _nodes() -> Floats:
    """Chebyshev's points from 0 to 1, rising, shape (COUNT,)."""
    return np.asarray(0.5 - 0.5 * np.cos(np.pi * np.arange(COUNT) / (COUNT - 1)))


@cache
def _last_coefficients() -> Floats:
    """Matrix from values at the nodes to the last Chebyshev coefficients, shape (TAIL, COUNT)."""
    end = COUNT - 1
    # The nodes rise, so that they are the cosines of falling angles.
    angles = np.pi * np.outer(np.arange(COUNT - TAIL, COUNT), np.arange(COUNT)[::-1]) / end
    matrix = 2.0 / end * np.cos(angles)
    matrix[:, [0, -1]] *= 0.5
    matrix[-1] *= 0.5
    return np.asarray(matrix)


def _weights(at: Floats) -> Floats:
    """Weights of the nodes at points from 0 to 1, shape (points, COUNT).

    Barycentric interpolation: Berrut & Trefethen 2004, SIAM Review 46:501, equations 4.2 and 5.4
    (from memory).
    """
    signs = np.where(np.arange(COUNT) % 2, -1.0, 1.0)
    signs[[0, -1]] *= 0.5
    apart = at[:, None] - _nodes()
    apart[np.abs(apart) < 1e-14] = 1e-200
    terms = signs / apart
    return np.asarray(terms / terms.sum(axis=1, keepdims=True))


def simulate_many_times(
    hair: Hair,
    mixture: Mixture,
    minutes: Floats,
    curves: CurveSet,
    values: Values,
    prior: Floats | None = None,
    path: NaturalPath | None = None,
) -> Trajectory:
    """Predict the course of many members over many times, within `TOLERANCE` of `simulate`.

    Parameters
    ----------
    hair, mixture, values : Hair, Mixture, mapping
        Numbers, or arrays of shape (members, 1).
    minutes : numpy.ndarray
        Processing times [min], any order, shape (times,).
    curves : CurveSet
        Gives the natural path.
    prior, path : numpy.ndarray, NaturalPath, optional
        What earlier lightening amounts to [-], and natural hair of this kind, where they are known.
    """
    end = float(np.max(minutes))
    if minutes.size <= COUNT or end <= 0.0:
        return trajectory_of(hair, mixture, minutes, curves, values, prior, path)
    few = trajectory_of(hair, mixture, end * _nodes() ** 2, curves, values, prior, path)
    white = [] if few.white is None else [few.lab, few.white]
    for colour in (few.pigmented, few.underpigment, *white):
        if not np.max(np.abs(_last_coefficients() @ colour)) < TOLERANCE:
            return trajectory_of(hair, mixture, minutes, curves, values, prior, path)
    weights = _weights(np.sqrt(minutes / end))
    path = path or path_of(hair, curves, values)
    pigmented, underpigment = weights @ few.pigmented, weights @ few.underpigment
    lab = pigmented if few.white is None else weights @ few.lab
    # The level is read off the path anew: it has a corner at each of the path's nodes.
    first = path.level_of_lightness(few.underpigment[..., :1, 0]) - few.lift[..., :1]
    lift = path.level_of_lightness(underpigment[..., 0]) - first
    warmth = path.warmth(pigmented)
    return Trajectory(
        minutes=np.broadcast_to(minutes, lift.shape),
        lab=lab,
        pigmented=pigmented,
        white=None if few.white is None else weights @ few.white,
        underpigment=underpigment,
        level=hair.level + lift,
        lift=lift,
        warmth=warmth,
        blend_warmth=warmth if few.white is None else path.warmth(lab),
        exposed=path.warmth(underpigment),
        exposure=few.exposure @ weights.T,
        pigment=few.pigment.map(lambda p: np.broadcast_to(p, few.lift.shape) @ weights.T),
        tone=tones_formed(conditions_of(hair, mixture, minutes, values)),
        curves=curves,
        values=values,
    )
