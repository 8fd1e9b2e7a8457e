"""Whether bands for new strands hold what they say: tuned to invented laboratories, right or wrong.

Simulation-based calibration (`lift.research.posterior.sbc`) invents laboratories of lift's own
physics, so nothing of the physics can be wrong there. Here whoever asks brings the laboratories,
with what their strands would do next: bands are then held against strands that the physics cannot
give.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats, check_number
from lift.model.course import paced
from lift.model.curves import default_curves
from lift.model.ensemble import ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.quantities import check_seed
from lift.research.posterior.bayes import COVERAGE
from lift.research.posterior.problem import FREE
from lift.research.swatches.generate import design, synthetic_laboratory
from lift.research.swatches.table import Swatches
from lift.research.tuning.curve_files import tuned_curves
from lift.research.tuning.tune import Tuning, tune
from lift.results import Result

MINUTES = (5.0, 10.0, 20.0, 35.0, 50.0)
VOLUMES = (10.0, 20.0, 30.0, 40.0)
KINDS = ("cream", "powder")
LEVELS = (2.5, 7.5)
STRANDS = 60
SEED = 1

TRUTH_LOG_SD = 0.3
"""Spread of the logarithm of the true rates from one laboratory to another [-]; assumed."""

NewStrand = Callable[[float, str, float, Floats, np.random.Generator], Floats]
"""Colours of another strand of the laboratory: judged level, class of mixture, strength [vol],
minutes, and what chance decides by, to CIELAB of shape (minutes, 3)."""

Invent = Callable[[np.random.Generator], tuple[Swatches, NewStrand]]
"""Invents a laboratory: what it measured, and its strands to come."""


@dataclass(frozen=True, eq=False, repr=False)
class BandCheck(Result):
    """How often bands hold.

    Parameters
    ----------
    inside : numpy.ndarray
        Share of new strands' colours in the 90 % band, for each laboratory in L*, a*, b* [-],
        shape (laboratories, 3).
    converged : numpy.ndarray of bool
        Whether each tuning converged, shape (laboratories,).
    seed : int
        Seed.
    """

    inside: Floats
    converged: NDArray[np.bool_]
    seed: int

    @property
    def coverage(self) -> Floats:
        """Share over all laboratories in L*, a*, b* [-], shape (3,)."""
        return np.asarray(self.inside.mean(axis=0))

    @property
    def standard_error(self) -> Floats:
        """Of that, from laboratory to laboratory [-], shape (3,)."""
        return np.asarray(self.inside.std(axis=0, ddof=1) / np.sqrt(len(self.inside)))


def own_physics(random: np.random.Generator) -> tuple[Swatches, NewStrand]:
    """Invent a laboratory of lift's own physics, whose rates are its own."""
    curves = default_curves()
    names = ("lightening_rate", "persulfate_rate")
    rates = np.array([curves.values[name] for name in names])
    own = rates * np.exp(TRUTH_LOG_SD * random.standard_normal(2))
    changed: dict[str, Any] = dict(zip(names, own.tolist(), strict=True))
    true = curves.replace(**changed)
    seed = int(random.integers(2**32))

    def strand(
        judged: float, kind: str, volume: float, minutes: Floats, random: np.random.Generator
    ) -> Floats:
        sd, spread = (float(true.values[name]) for name in ("level_sd", "rate_log_sd"))
        level = float(np.clip(judged + sd * random.standard_normal(), 1.0, 10.0))
        values = paced(true.values, float(np.exp(spread * random.standard_normal())))
        return simulate(Hair(level), Mixture(kind, volume), minutes, true, values=values).lab

    return synthetic_laboratory(design(12), true, seed=seed).swatches, strand


def check_bands(
    invent: Invent = own_physics,
    laboratories: int = 24,
    *,
    seed: int = SEED,
    free: Sequence[str] = FREE,
    told: Callable[[Tuning], None] | None = None,
) -> BandCheck:
    """Tune to invented laboratories, and hold the bands of each against strands to come.

    Parameters
    ----------
    invent : callable
        See `Invent`; default: laboratories of lift's own physics. What chance decides in one
        laboratory is independent of what it decides in others, and in its strands to come.
    laboratories : int
        How many, 2 to 10000.
    seed : int
        Seed; the same seed gives the same laboratories.
    free : sequence of str
        Free parameters.
    told : callable, optional
        Told each tuning.

    Returns
    -------
    BandCheck

    Raises
    ------
    LiftError
        For a value out of range.

    Examples
    --------
    >>> check_bands(laboratories=24).inside.shape  # doctest: +SKIP
    (24, 3)
    """
    count = int(check_number("name.laboratories", laboratories, 2, 10_000))
    seed = check_seed(seed)
    inside, converged = [], []
    for each in np.random.SeedSequence(seed).spawn(count):
        first, second = map(np.random.default_rng, each.spawn(2))
        swatches, strand = invent(first)
        found = tune(swatches, free=free, starts=1, leave_swatches_out=False)
        if told is not None:
            told(found)
        curves, minutes = tuned_curves(found, "tuned"), np.array(MINUTES)
        held = []
        for number in range(STRANDS):
            judged, kind = second.uniform(*LEVELS), KINDS[number % len(KINDS)]
            volume = VOLUMES[number // len(KINDS) % len(VOLUMES)]
            true = strand(judged, kind, volume, minutes, second)
            drawn = ensemble(
                *(Hair(judged), Mixture(kind, volume), minutes, curves),
                seed=int(second.integers(2**31)),
            )
            low, _, high = drawn.band("lab", COVERAGE)
            held.append((low <= true) & (true <= high))
        inside.append(np.mean(held, axis=(0, 1)))
        converged.append(found.converged)
    return BandCheck(np.array(inside), np.array(converged), seed)
