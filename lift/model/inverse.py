"""Inverse: which pigment state a measured colour speaks for, and how surely."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, check_choice, check_number, check_range
from lift.model.curves import CurveSet, Values, default_curves
from lift.model.hair import LEVEL_RANGE, Hair
from lift.model.mixture import check_doses
from lift.model.strand import (
    Pigment,
    hair_share,
    lightened,
    natural_pigment,
    strand_lab,
    white_lab,
)
from lift.optics.colorimetry import delta_e_2000, lab_to_xyz, white, xyz_to_lab
from lift.quantities import COVERAGE, check_labs, check_seed, quantities_of
from lift.results import Result

READING_SD = (0.68, 0.28, 0.16)
"""Standard deviation of L*, a*, b* over readings of one tress; published (J. Cosmet. Sci. 51
(2000) p. 293, Table III, dark-brown hair, vertical)."""

MODEL_SD = 1.0
"""How far real hair lies off the model's colours in each of L*, a*, b*: assumed, as no open set of
measured lightened hair exists."""

DEFAULT_SD = tuple(float(np.hypot(sd, MODEL_SD)) for sd in READING_SD)

EXPOSURE_RANGE = (0.0, 10.0)
"""Prior of the exposure, uniform: at 7 black hair has become palest yellow. Assumed."""

SHARE_LOG_SD = 0.7
"""Prior of the pheomelanin share, log-normal about the curve set's: assumed, wide enough for 0.11
to 0.17 (2018 study) at 1 to 2 standard deviations, red hair's 0.33 (Borges et al. 2001) at 2.7."""

SHARE_Z = 2.8
CELLS = (46, 80, 7)
CANDIDATES = 6000
DRAWS = 400
SEED = 20
GREY, SHARE = (quantities_of(Hair)[name] for name in ("grey_percent", "pheomelanin_share"))
MOST_SD = 20.0
IMPLAUSIBLE = 16.27
"""Squared misfit above which a colour is not lightened hair's: chi-square, 3 degrees, 99.9 %."""


@dataclass(frozen=True, eq=False, repr=False)
class Inferred(Result):
    """Pigment state behind a measured colour; draws are equally likely, shape (n,).

    Parameters
    ----------
    lab : numpy.ndarray
        The measured CIELAB (D65, 10 degrees), shape (3,); of grey hair that of the blend.
    pigmented : numpy.ndarray
        `lab` less its white fibres: the colour that is inferred from, shape (3,).
    pigment : Pigment
        Most plausible state of the pigmented fibres.
    natural_level, exposure, pheomelanin_share : float
        What gives that state: level before lightening, exposure [-], share [-].
    draws : Pigment
        States that the colour could also come from.
    level_draws, exposure_draws, share_draws : numpy.ndarray
        The same for the draws.
    misfit : float
        dE00 between `pigmented` and the colour of `pigment`.
    squared_misfit : float
        Sum of squares of the residuals over their standard deviations, for `pigment`.
    effective : float
        Effective number of independent candidates behind the draws.
    """

    lab: Floats
    pigmented: Floats
    pigment: Pigment
    natural_level: float
    exposure: float
    pheomelanin_share: float
    draws: Pigment
    level_draws: Floats
    exposure_draws: Floats
    share_draws: Floats
    misfit: float
    squared_misfit: float
    effective: float

    @property
    def plausible(self) -> bool:
        """Whether lightened, untoned hair can have this colour at all."""
        return self.squared_misfit <= IMPLAUSIBLE

    def interval(self, name: str, coverage: float = 0.9) -> tuple[float, float]:
        """Central interval of ``level``, ``exposure`` or ``share`` that holds `coverage` [-]."""
        check_choice("inverse.quantity", name, ("level", "exposure", "share"))
        tail = 50.0 * (1.0 - COVERAGE.number(coverage))
        low, high = np.percentile(getattr(self, f"{name}_draws"), [tail, 100.0 - tail])
        return float(low), float(high)


def infer_pigment(
    lab: ArrayLike,
    curves: CurveSet | None = None,
    *,
    sd: ArrayLike = DEFAULT_SD,
    draws: int = DRAWS,
    seed: int = SEED,
    grey_percent: float = 0.0,
    pheomelanin_share: float | None = None,
    tone: Mapping[str, float] | None = None,
) -> Inferred:
    """Infer the pigment state of lightened hair from its colour alone.

    Three numbers are read and three wanted: natural level, exposure, pheomelanin share. Their
    priors are uniform over 1 to 10, uniform over `EXPOSURE_RANGE`, and log-normal about the
    curve set's share. A grid finds where the posterior lies; candidates drawn from its cells are
    weighted by the exact likelihood and resampled, so the grid's coarseness costs candidates and
    not truth. The share is mostly the prior's: colour tells little of it.

    Parameters
    ----------
    lab : array_like
        Measured CIELAB (D65, 10 degrees) of hair that was lightened, shape (3,).
    curves : CurveSet, optional
        Default: the shipped set.
    sd : array_like
        Standard deviation of L*, a*, b* [CIELAB units], 0.1 to 20; default: reading and model.
    draws : int
        Number of draws, 10 to 10000.
    seed : int
        The same seed gives the same draws.
    grey_percent : float
        White, untoned fibres in what was measured [%], 0 to 100; they are taken out of it first.
    pheomelanin_share : float, optional
        Share that the prior lies about [-], as that of red hair; default: the curve set's.
    tone : mapping of str to float, optional
        Dose of each dye that is known to be in it [0.01 absorption per fibre radius]; default:
        none, it was not toned.

    Raises
    ------
    LiftError
        When there are more white fibres than a colour so dark can hold.

    Examples
    --------
    >>> infer_pigment([51, 15, 37]).plausible, infer_pigment([60, -3, -8]).plausible
    (True, False)
    """
    curves = curves or default_curves()
    values = curves.values
    measured = check_labs(lab, "inverse.colour", one=True)
    read = check_range("inverse.sd", sd, 0.1, MOST_SD)
    if read.shape not in ((), (1,), (3,)):
        raise LiftError("inverse.sd_shape", shape=read.shape)
    noise = np.broadcast_to(read, (3,))
    wanted, noise = _without_grey(measured, noise, GREY.number(grey_percent), values)
    count = int(check_number("inverse.draws", draws, 10, 10_000))
    random = np.random.default_rng(check_seed(seed))

    about = float(hair_share(SHARE.check(pheomelanin_share), values))
    already = check_doses(tone or {})

    grid = _grid(curves, about, tuple(already.items()))
    candidate, log_proposal = _propose(wanted, noise, *grid, random)

    def log_posterior(of: Floats) -> Floats:
        seen = strand_lab(_pigment(of, about, values), values, tone=already)
        off = (seen - wanted) / noise
        return np.asarray(-0.5 * np.sum(off**2, axis=-1) - 0.5 * of[:, 2] ** 2)

    height = log_posterior(candidate)
    weight = np.exp(height - log_proposal - np.max(height - log_proposal))
    weight /= weight.sum()
    best = candidate[np.argmax(height)]
    # Finer steps towards the top; the candidates alone would leave it rough.
    for step in (0.1, 0.03, 0.01):
        near = np.vstack([best, best + step * random.standard_normal((200, 3))])
        near = np.clip(near, _LOW, _HIGH)
        best = near[np.argmax(log_posterior(near))]
    places = (np.arange(count) + random.random()) / count
    kept = candidate[np.searchsorted(np.cumsum(weight), places).clip(0, weight.size - 1)]

    pigment = _pigment(best, about, values)
    found = strand_lab(pigment, values, tone=already)
    return Inferred(
        lab=measured,
        pigmented=wanted,
        pigment=pigment,
        natural_level=float(best[0]),
        exposure=float(best[1]),
        pheomelanin_share=float(_share(best[2], about)),
        draws=_pigment(kept, about, values),
        level_draws=kept[:, 0],
        exposure_draws=kept[:, 1],
        share_draws=np.asarray(_share(kept[:, 2], about)),
        misfit=float(delta_e_2000(found, wanted)),
        squared_misfit=float(np.sum(((found - wanted) / noise) ** 2)),
        effective=float(1.0 / np.sum(weight**2)),
    )


def _without_grey(
    lab: Floats, noise: Floats, grey_percent: float, values: Values
) -> tuple[Floats, Floats]:
    """Colour of the pigmented fibres in a blend, and how far off it may be, shape (3,) each.

    Reflectances mix linearly, and so do X, Y, Z. What the blend is off by, the pigmented fibres
    are off by more, as they are a part of it only.
    """
    if grey_percent == 0.0:
        return lab, noise
    reference, share = white(), grey_percent / 100.0
    bright = lab_to_xyz(white_lab(values), reference)

    def pigmented(blend: Floats) -> Floats:
        return (lab_to_xyz(blend, reference) - share * bright) / (1.0 - share)

    most = float(np.min(lab_to_xyz(lab, reference) / bright))
    if share >= min(most, 1.0):
        nearest = float(np.clip(np.ceil(100.0 * most) - 1.0, 0.0, 99.0))
        raise LiftError("inverse.too_grey", grey=grey_percent, lab=tuple(lab), most=nearest)
    found = xyz_to_lab(pigmented(lab), reference)
    # By steps upward only: a dark blend may have no room below.
    ends = xyz_to_lab(pigmented(lab + np.diag(noise)), reference)
    return found, np.clip(np.abs(np.diagonal(ends - found)), noise, MOST_SD)


_LOW = np.array([LEVEL_RANGE[0], EXPOSURE_RANGE[0], -SHARE_Z])
_HIGH = np.array([LEVEL_RANGE[1], EXPOSURE_RANGE[1], SHARE_Z])
_SIZE = (_HIGH - _LOW) / np.array(CELLS)


def _share(z: Any, about: float) -> Any:
    return np.minimum(about * np.exp(SHARE_LOG_SD * z), 1.0)


def _pigment(of: Floats, about: float, values: Values) -> Pigment:
    """Pigment of (natural level, exposure, deviate of the share), shape (..., 3)."""
    level, exposure, z = np.moveaxis(of, -1, 0)
    return lightened(natural_pigment(level, _share(z, about), values), exposure, values)


@lru_cache(maxsize=8)
def _grid(
    curves: CurveSet, about: float, tone: tuple[tuple[str, float], ...]
) -> tuple[Floats, Floats]:
    """Colour at the middle of each cell, and how far it spreads over the cell, (..., 3)."""
    indices = np.moveaxis(np.indices(CELLS), 0, -1)
    of = _LOW + (indices + 0.5) * _SIZE
    lab = strand_lab(_pigment(of, about, curves.values), curves.values, tone=dict(tone))
    slopes = np.stack([np.gradient(lab, axis=axis) for axis in range(3)])
    # A uniform spread over one cell has a variance of a twelfth of its width squared.
    return lab, np.sqrt(np.sum(slopes**2, axis=0) / 12.0)


def _propose(
    wanted: Floats, noise: Floats, lab: Floats, spread: Floats, random: np.random.Generator
) -> tuple[Floats, Floats]:
    """Candidates (n, 3) from the cells, and the logarithm of their proposal density."""
    wide = np.hypot(noise, spread)
    middle = _LOW[2] + (np.arange(CELLS[2]) + 0.5) * _SIZE[2]
    height = -0.5 * np.sum(((lab - wanted) / wide) ** 2, axis=-1) - np.sum(np.log(wide), axis=-1)
    height = (height - 0.5 * middle**2).ravel()
    cell = np.exp(height - height.max())
    cell /= cell.sum()
    places = (np.arange(CANDIDATES) + random.random(CANDIDATES)) / CANDIDATES
    chosen = np.searchsorted(np.cumsum(cell), places).clip(0, cell.size - 1)
    corner = np.stack(np.unravel_index(chosen, CELLS), axis=-1)
    candidate = _LOW + (corner + random.random(corner.shape)) * _SIZE
    return candidate, np.log(cell[chosen])
