"""Camera and light of a picture, by what the chart in it shows.

Each channel sees the patches through a sensitivity (light times camera) that is smooth over
wavelength. The camera's curve (powers of the logarithm of light) and how uneven the light is
(across, down and outward, in the logarithm, and in tint across and down) are what makes the
patches agree best with such sensitivities; how many terms of either there are, is chosen by leaving
patches out.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats
from lift.optics.weights import WAVELENGTHS_NM
from lift.photo.editions import patch_reflectance

CURVES = (0, 1, 2, 3)
UNEVEN = (0, 3, 7)
"""Terms that are tried: powers of the curve; none, or across, down and outward, or besides these
how red and blue grow beside green across and down, as where lights of two colours mix."""

TERMS = max(CURVES) + max(UNEVEN)
TRIED = tuple((curve, uneven) for uneven in UNEVEN for curve in CURVES)

WORTH = 0.97
"""An error of patches left out this much smaller [-] is worth more terms: assumed."""

CURVE_SD, UNEVEN_SD = 0.3, 0.3
"""What is thought of the terms before: assumed, wide."""

MISFIT = 5e-4
"""Squared misfit of a patch's light [-] that is as bad as one unit of roughness: chosen on
computed photographs, by the patches left out."""

LEVEL = 1e-6
"""Share of a sensitivity's size in its roughness, so that there is a roughness of each."""

ALIKE_OFF = 1.5
"""Factor of the variance of theta: patches that reflect alike are off alike, as if there were
fewer. Chosen on computed photographs."""

ROUNDS = 5
LARGEST = 0.2
"""Most that a term is moved at a time, and an error counts: against steps and patches astray."""

LEAST_LIGHT = 1e-4
"""Light, of white, that is taken where there is none [-]."""


@dataclass(frozen=True, eq=False)
class Seen:
    """The chart as the camera saw it.

    Parameters
    ----------
    log_light : numpy.ndarray
        Logarithm of light in R, G, B by the nominal curve, 0 for white, shape (n, 3).
    place : numpy.ndarray
        Across and down from the picture's middle, 1 for half its diagonal, shape (n, 2).
    good : numpy.ndarray of bool
        Which patches of the chart these are, shape (24,).
    edition : str
        Of the chart.
    """

    log_light: Floats
    place: Floats
    good: NDArray[np.bool_]
    edition: str


@dataclass(frozen=True, eq=False)
class Camera:
    """What was found of camera and light.

    Parameters
    ----------
    theta : numpy.ndarray
        Terms of the curve, shape (3,), of unevenness, shape (3,), and of its tint, shape (4,);
        0 where left out.
    covariance : numpy.ndarray
        Of `theta`, by the patches' misfit, shape (10, 10).
    light : numpy.ndarray
        Light of the patches without curve and unevenness, shape (n, 3).
    sensitivity : numpy.ndarray
        Light times camera at `lift.optics.weights.WAVELENGTHS_NM`, shape (81, 3).
    misfit : numpy.ndarray
        How far each patch, left out, lies off what the others tell of it, in shares of its
        light, shape (n, 3).
    chart_terms : numpy.ndarray
        `terms` of the patches, shape (n, 3, 10).
    """

    theta: Floats
    covariance: Floats
    light: Floats
    sensitivity: Floats
    misfit: Floats
    chart_terms: Floats

    def even_light(self, log_light: Floats, place: Floats) -> Floats:
        """Light without curve and unevenness, shape (..., 3)."""
        return np.asarray(np.exp(log_light + self.terms(log_light, place) @ self.theta))

    @property
    def tint(self) -> float:
        """Most that red or blue grows beside green over half the picture's diagonal [-]."""
        return float(np.abs(self.theta[max(CURVES) + UNEVEN[1] :]).max())

    @staticmethod
    def terms(log_light: Floats, place: Floats) -> Floats:
        """Change of the logarithm of light for each of `theta`, shape (..., 3, 10)."""
        return _terms(log_light, place)


def find_camera(seen: Seen) -> Camera:
    """Camera and light behind the patches, with as many terms as leaving out bears out."""
    kernel = _kernel(seen.edition)[np.ix_(seen.good, seen.good)]
    terms = _terms(seen.log_light, seen.place)
    used = np.zeros((len(TRIED), TERMS), dtype=bool)
    for row, (curve, uneven) in zip(used, TRIED, strict=True):
        row[:curve] = True
        row[max(CURVES) : max(CURVES) + uneven] = True
    prior = np.where(np.arange(TERMS) < max(CURVES), CURVE_SD, UNEVEN_SD)
    hold = np.where(used, MISFIT / prior**2, 1e9)
    theta = np.zeros((len(TRIED), TERMS))
    for _ in range(ROUNDS):
        slack, change = _slack(theta, terms, seen.log_light, kernel)
        moved = np.swapaxes(change, -1, -2) @ slack
        curvature = np.sum(moved @ change, axis=1) + hold[:, None, :] * np.eye(TERMS)
        slope = np.sum(moved.sum(axis=-1), axis=1) + hold * theta
        step = np.linalg.solve(curvature, slope[..., None])[..., 0]
        theta = theta - np.clip(step, -LARGEST, LARGEST)
    slack, change = _slack(theta, terms, seen.log_light, kernel)
    moved = np.swapaxes(change, -1, -2) @ slack
    curvature = np.sum(moved @ change, axis=1) + hold[:, None, :] * np.eye(TERMS)
    inverse = np.linalg.inv(curvature)
    left = _left_out(slack, moved, inverse)
    error = np.sqrt(np.mean(np.minimum(np.abs(left), LARGEST) ** 2, axis=(1, 2)))
    best = 0
    for number in range(1, len(TRIED)):
        if error[number] < WORTH * error[best]:
            best = number
    # A term that was left out may be there all the same: each is as unsure as with all in. Tint,
    # of which ordinary light has none, is as it was found.
    widest = TRIED.index((max(CURVES), max(TRIED[best][1], UNEVEN[1])))
    variance = slack[widest].sum() / (seen.log_light.size - used[widest].sum())
    light = np.exp(seen.log_light + terms @ theta[best])
    # What is left over, as weights of the patches, gives the sensitivity that explains the rest.
    weight = slack[best].sum(axis=-1).T / MISFIT / light
    return Camera(
        theta[best],
        ALIKE_OFF * variance * inverse[widest],
        light,
        _smooth(seen.edition)[:, seen.good] @ weight,
        left[best],
        terms,
    )


def _slack(
    theta: Floats, terms: Floats, log_light: Floats, kernel: Floats
) -> tuple[Floats, Floats]:
    """What smooth sensitivities cannot follow, and what theta changes, for several thetas.

    The first, shape (k, 3, n, n), takes shares of the patches' light to what is left over of them;
    its sum is the misfit with its roughness. The second, shape (k, 3, n, terms), is how much of
    the light that is explained theta moves.
    """
    light = np.exp(log_light + np.einsum("nct,kt->knc", terms, theta)).transpose(0, 2, 1)
    weighed = kernel / (light[..., :, None] * light[..., None, :])
    slack = MISFIT * np.linalg.inv(weighed + MISFIT * np.eye(len(kernel)))
    explained = 1.0 - slack.sum(axis=-1)
    return slack, explained[..., None] * terms.transpose(1, 0, 2)


def _left_out(slack: Floats, moved: Floats, inverse: Floats) -> Floats:
    """Misfit of each patch when it is left out, by its leverage, shape (k, n, 3)."""
    taken = np.einsum("kctn,ktu,kdun->kncd", moved, inverse, moved)
    own = np.einsum("kcnn->knc", slack)
    return np.linalg.solve(
        own[..., None] * np.eye(3) - taken, np.swapaxes(slack.sum(-1), 1, 2)[..., None]
    )[..., 0]


def _terms(log_light: Floats, place: Floats) -> Floats:
    """Change of the logarithm of light for each of theta, shape (..., 3, 10)."""
    power = [log_light * (log_light / 3.0) ** k for k in range(max(CURVES))]
    outward = np.sum(place**2, axis=-1)
    where = [-place[..., 0], -place[..., 1], -outward]
    flat = [np.broadcast_to(each[..., None], log_light.shape) for each in where]
    tint = [each[..., None] * channel for channel in np.eye(3)[[0, 2]] for each in where[:2]]
    return np.stack([*power, *flat, *tint], axis=-1)


@cache
def _smooth(edition: str) -> Floats:
    """Sensitivities that each patch speaks for: inverse roughness times reflectance, (81, 24)."""
    count = WAVELENGTHS_NM.size
    bend = np.diff(np.eye(count), 2, axis=0)
    rough = bend.T @ bend + LEVEL * np.eye(count)
    found = np.asarray(np.linalg.solve(rough, patch_reflectance(edition).T), dtype=np.float64)
    # In units in which a flat sensitivity that gives white 1 is as rough as chance has it.
    found *= 1.0 / count**2
    return found


@cache
def _kernel(edition: str) -> Floats:
    return np.asarray(patch_reflectance(edition) @ _smooth(edition))
