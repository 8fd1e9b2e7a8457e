"""Synthetic laboratory: invented swatches with the scatter that real ones have."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError, check_number, check_range
from lift.model.course import STANDARD, Structure
from lift.model.curves import CurveSet, Values, default_curves
from lift.model.mixtures import MixtureClasses, mixture_classes
from lift.quantities import MINUTES as MINUTES_Q
from lift.quantities import check_seed
from lift.research.swatches.columns import HAIR, MIXTURE, REPEATS
from lift.research.swatches.forward import exposure, predict
from lift.research.swatches.table import SCATTER, Swatches
from lift.words import note

SCATTER_RANGE = (0.3, 1.2)
"""Standard deviation of L* on repositioning a tress, from one tress to another (J. Cosmet. Sci. 51
(2000), p. 293 and the tables beside it); a* and b* scatter in proportion, as in `SCATTER`."""

LEVELS = (2.0, 8.0)
VOLUMES = (10.0, 20.0, 30.0, 40.0)
MINUTES = (0.0, 5.0, 10.0, 20.0, 35.0, 50.0)


def design(
    swatches: int = 12,
    *,
    minutes: Sequence[float] = MINUTES,
    volumes: Sequence[float] = VOLUMES,
    kinds: Sequence[str] = ("cream", "powder"),
    levels: tuple[float, float] = LEVELS,
    fibre_um: float = 70.0,
    repeats: int = 3,
    classes: MixtureClasses | None = None,
) -> Swatches:
    """Lay out a laboratory: each swatch has one level, one mixture and every time.

    Levels rise evenly from swatch to swatch, volumes and kinds take turns, so that neither goes
    with the level. The colours are what the shipped curve set expects, without scatter.

    Parameters
    ----------
    swatches : int
        Number of swatches, 1 to 500.
    minutes : sequence of float
        Processing times of each swatch [min], 0 to 120.
    volumes : sequence of float
        Developer strengths [vol], taken in turn.
    kinds : sequence of str
        Mixtures, taken in turn.
    levels : tuple of float
        Lowest and highest natural level [-], within 1 to 10.
    fibre_um : float
        Fibre diameter [um], 30 to 130.
    repeats : int
        Readings averaged in each row [-], 1 to 1000.
    classes : MixtureClasses, optional
        Classes of mixture known; default: the shipped ones.

    Returns
    -------
    Swatches
        Marked as invented.

    Raises
    ------
    LiftError
        For a value out of range.
    """
    count = int(check_number("name.swatches", swatches, 1, 500))
    times = np.asarray(MINUTES_Q.check(list(minutes)))
    if times.size == 0 or len(volumes) == 0 or len(kinds) == 0:
        raise LiftError("laboratory.empty")
    low, high = (HAIR["level"].number(v) for v in levels)
    number = np.arange(count)
    swatch = np.repeat(number, times.size)
    strength = np.asarray(MIXTURE["volume"].check(list(volumes)))
    # Volumes go through faster than kinds: every volume meets every kind.
    kind_of = [kinds[(i // len(volumes)) % len(kinds)] for i in range(count)]
    level = np.linspace(low, high, count) if count > 1 else np.array([0.5 * (low + high)])
    # Steps of about 0.382 of a turn spread the levels over the mixtures instead of sorting them.
    level = level[np.argsort((number * 0.381966) % 1.0, kind="stable")]
    table = Swatches(
        names=tuple(f"invented-{i + 1:02d}" for i in number),
        level=level,
        swatch=swatch,
        kind=tuple(kind_of[i] for i in swatch),
        volume=strength[number % strength.size][swatch],
        minutes=np.tile(times, count),
        lab=np.tile([50.0, 0.0, 0.0], (swatch.size, 1)),
        fibre_um=HAIR["fibre_um"].number(fibre_um),
        repeats=REPEATS.number(repeats),
        source=str(note("laboratory.invented")),
        invented=True,
        classes=classes or mixture_classes(),
    )
    return table.replace(lab=predict(table, default_curves().values, level))


def measure(
    laid_out: Swatches,
    values: Values,
    starts: ArrayLike,
    random: np.random.Generator,
    *,
    rates: ArrayLike = 1.0,
    sd: ArrayLike | None = None,
    structure: Structure = STANDARD,
) -> Swatches:
    """Measure a laid-out laboratory once: predicted colours plus scatter.

    Parameters
    ----------
    laid_out : Swatches
        Conditions.
    values : mapping
        True parameter values, single numbers.
    starts : array_like
        True starting level of each swatch [-], shape (swatches,).
    random : numpy.random.Generator
        Source of the scatter.
    rates : array_like
        Rate of each swatch over the common one [-], shape (swatches,).
    sd : array_like, optional
        Standard deviation of each row in L*, a*, b*, shape (rows, 3); default: the table's own,
        so that a fit with the same table knows it.
    structure : Structure
        True physics.

    Returns
    -------
    Swatches
        Same conditions, new colours.
    """
    spread = laid_out.sd if sd is None else np.broadcast_to(np.asarray(sd), laid_out.lab.shape)
    own_rate = np.broadcast_to(rates, (len(laid_out.names),))[laid_out.swatch]
    exposed = exposure(laid_out, values, structure) * own_rate
    true = predict(laid_out, values, starts, structure, exposed=exposed)
    return laid_out.replace(lab=true + spread * random.standard_normal(true.shape))


@dataclass(frozen=True, eq=False)
class Laboratory:
    """An invented laboratory and the truth behind it.

    Parameters
    ----------
    swatches : Swatches
        Marked as invented; levels are as judged by eye, to the half level.
    starts : numpy.ndarray
        True starting levels [-], shape (swatches,).
    rates : numpy.ndarray
        True rate of each swatch over the common one [-], shape (swatches,).
    """

    swatches: Swatches
    starts: Floats
    rates: Floats


def synthetic_laboratory(
    laid_out: Swatches | None = None,
    curves: CurveSet | None = None,
    *,
    seed: int = 1,
    scatter_range: tuple[float, float] = SCATTER_RANGE,
    rate_spread: float | None = None,
) -> Laboratory:
    """Invent a laboratory: swatches that differ in rate, levels judged by eye, scatter by swatch.

    Parameters
    ----------
    laid_out : Swatches, optional
        Conditions; default `design()`. Its levels are the true ones.
    curves : CurveSet, optional
        The truth; default: the shipped set.
    seed : int
        Seed; the same seed gives the same laboratory.
    scatter_range : tuple of float
        Least and largest standard deviation of L* on repositioning, 0.01 to 20; each swatch
        has its own, drawn evenly in the logarithm.
    rate_spread : float, optional
        Standard deviation of the logarithm of the rate between swatches [-], 0 to 1; default:
        the curve set's.

    Returns
    -------
    Laboratory

    Raises
    ------
    LiftError
        For a value out of range.
    """
    curves = curves or default_curves()
    laid_out = laid_out or design()
    random = np.random.default_rng(check_seed(seed))
    low, high = check_range("name.lightness_scatter", scatter_range, 0.01, 20.0)
    starts = np.asarray(laid_out.level)
    if np.isnan(starts).any():
        raise LiftError("laboratory.no_level")
    judged = starts + curves.values["level_sd"] * random.standard_normal(starts.shape)
    judged = np.clip(np.round(2.0 * judged) / 2.0, HAIR["level"].low, HAIR["level"].high)
    lightness_sd = np.exp(random.uniform(np.log(low), np.log(high), starts.shape))
    shape = np.array(SCATTER) / SCATTER[0]
    sd = lightness_sd[laid_out.swatch, None] * shape / np.sqrt(laid_out.repeats)[:, None]
    if rate_spread is None:
        rate_spread = float(curves.values["rate_log_sd"])
    spread = check_number("name.rate_spread", rate_spread, 0.0, 1.0)
    rates = np.exp(spread * random.standard_normal(starts.shape))
    measured = measure(laid_out, curves.values, starts, random, rates=rates, sd=sd)
    table = measured.replace(
        level=judged, source=str(note("laboratory.invented_seed", seed=seed)), invented=True
    )
    return Laboratory(table, starts, rates)
