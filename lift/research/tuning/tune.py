"""Tuning: stage curves fitted to measured swatches, and how well they are then known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats, check_number
from lift.model.course import STANDARD, Structure
from lift.model.curves import CurveSet, default_curves
from lift.optics.colorimetry import delta_e_2000
from lift.research.posterior.bayes import COVERAGE, Belief, Posterior, sample_posterior
from lift.research.posterior.drawn import require_sampler
from lift.research.posterior.mode import one_thread
from lift.research.posterior.problem import FREE, LOSSES, Problem, Tie
from lift.research.posterior.strands import StrandModel, Strands
from lift.research.swatches.table import Swatches
from lift.research.tuning.aside import (
    FEWEST_LEFT,
    Judged,
    aside_notes,
    judged,
    robust,
    without_suspects,
)
from lift.research.tuning.influence import Influence, influences
from lift.research.tuning.left_out import HeldOut
from lift.research.tuning.starts import LOOKS, Progress, aicc_of, check_enough, find_modes
from lift.research.tuning.suspects import Suspicion
from lift.results import Result
from lift.words import Note

STARTS = 3
SAME_HEIGHT = 0.1
"""Log density by which two ends may differ and be the same."""

FEWEST = 4
"""Swatches from which their spread is said; with fewer it is what was believed before."""


@dataclass(frozen=True, eq=False, repr=False)
class Tuning(Result):
    """Result of a tuning.

    Parameters
    ----------
    posterior : Posterior
        What the swatches leave open.
    fitted : Strands
        The medians, with the likeliest level and rate of each swatch, of shape (1,).
    tried, agreed : int
        Starts tried, and how many of them ended at the same top.
    difference : numpy.ndarray
        dE00 between reading and fit, shape (rows,).
    difference_before : numpy.ndarray
        The same with the curve set that the fit started from, its starting levels fitted.
    scatter_scale : float
        Scatter of the readings over the expected [-].
    held_out : HeldOut or None
        Prediction of swatches left out; None when not asked for or with fewer than 3 swatches.
    whole : Swatches
        All readings, those that had no say in the fit too.
    counts : numpy.ndarray of bool
        Which of them had, shape (readings,).
    suspicions : tuple of Suspicion
        What speaks against each swatch of `whole`; none where no swatch was left out.
    influences : tuple of Influence
        What each swatch and each reading does to the fit, the most telling first; as above.
    seed : int
        Of starts and draws.
    stopped : str
        Code of the step at which somebody stopped it, empty where nobody did. What had been found
        by then is kept, and what would have followed is left out.
    """

    posterior: Posterior
    fitted: Strands
    tried: int
    agreed: int
    difference: Floats
    difference_before: Floats
    scatter_scale: float
    held_out: HeldOut | None
    whole: Swatches
    counts: NDArray[np.bool_]
    suspicions: tuple[Suspicion, ...]
    influences: tuple[Influence, ...]
    seed: int
    stopped: str

    @property
    def suspects(self) -> tuple[Suspicion, ...]:
        """Swatches that a mistake explains far better, the most suspect first."""
        found = [each for each in self.suspicions if each.suspect]
        return tuple(sorted(found, key=lambda each: -each.log_factor))

    @property
    def aside(self) -> tuple[Note, ...]:
        """What had no say in the fit, one note a swatch."""
        return aside_notes(self.whole, self.counts)

    @property
    def too_many(self) -> bool:
        """Whether so much is suspect that all of it counts."""
        return without_suspects(self.whole, self.suspicions) is None

    @property
    def problem(self) -> Problem:
        """What was fitted to what."""
        return self.posterior.model.problem

    @property
    def estimates(self) -> tuple[Belief, ...]:
        """The free parameters, in order."""
        return self.posterior.beliefs[: len(self.problem.free)]

    @property
    def coverage(self) -> float:
        """Of the intervals [-]."""
        return self.posterior.coverage

    @property
    def converged(self) -> bool:
        """Whether the top was found and the draws are good."""
        return self.posterior.mode.converged and self.posterior.converged

    @property
    def starts(self) -> Floats:
        """Fitted starting level of each swatch [-], shape (swatches,)."""
        return np.asarray(self.fitted.starts[0])

    @property
    def rates(self) -> Floats:
        """Rate of each swatch over the common one [-], shape (swatches,)."""
        return np.asarray(self.fitted.rates[0])

    @property
    def correlations(self) -> Floats:
        """Correlations of the free parameters, shape (free, free)."""
        count = len(self.problem.free)
        return self.posterior.correlations[:count, :count]

    @property
    def spread(self) -> float | None:
        """Spread of the logarithm of the rate between swatches [-]; None where not estimated."""
        enough = len(self.problem.swatches.names) >= FEWEST and self.problem.own_rates
        return self.posterior.beliefs[-1].value if enough else None

    @property
    def aicc(self) -> float:
        """Akaike's criterion for small samples; only differences between fits count."""
        return aicc_of(self.posterior.mode)

    def predict(self, conditions: Swatches | None = None) -> Floats:
        """Fitted colours, shape (rows, 3)."""
        return np.asarray(self.posterior.model.predict(self.fitted, conditions)[0])

    def per_swatch(self, values: Floats) -> Floats:
        """Mean of a value per row over each swatch, shape (swatches,)."""
        index = self.problem.swatches.swatch
        return np.asarray(np.bincount(index, weights=values) / np.bincount(index))


def tune(
    swatches: Swatches,
    curves: CurveSet | None = None,
    free: Sequence[str] = FREE,
    ties: Sequence[Tie] = (),
    *,
    structure: Structure = STANDARD,
    loss: str = LOSSES[0],
    own_rates: bool = True,
    starts: int = STARTS,
    seed: int = 1,
    coverage: float = COVERAGE,
    leave_swatches_out: bool = True,
    keep_suspects: bool = False,
    progress: Progress | None = None,
) -> Tuning:
    """Fit chosen parameters of a curve set to measured swatches.

    Every swatch has its own starting level, a nuisance that its readings and, where one is given,
    the level judged by eye decide. It may also have its own rate: strands differ, and a fit that
    does not know it takes what is one swatch's for what is everyone's. How much they differ is
    estimated too.

    Parameters
    ----------
    swatches : Swatches
        Readings.
    curves : CurveSet, optional
        Where the fit starts, and all that is not free; default: the shipped set.
    free, ties : sequence
        What varies; see `Problem`.
    structure : Structure
        Which physics to use.
    loss : str
        ``t`` (robust) or ``linear`` (squares).
    own_rates : bool
        Whether swatches may differ in rate.
    starts : int
        Starts, 1 to 50: the curve set's values, then the best of a Latin hypercube over what is
        believed before.
    seed : int
        Seed of starts and draws.
    coverage : float
        Of the intervals [-], 0.01 to 0.999.
    leave_swatches_out : bool
        Whether to predict each swatch from the others, which is what suspects are told by.
    keep_suspects : bool
        Whether suspect swatches have a say in the fit; without any, the fit is the same.
    progress : callable, optional
        See `Progress`.

    Returns
    -------
    Tuning

    Raises
    ------
    LiftError
        For an unknown or unfit parameter, or with fewer readings than unknowns.

    Examples
    --------
    >>> import lift
    >>> from lift.research.swatches.generate import design
    >>> found = lift.lab.tune(design(3, minutes=(0, 20)), free=["lightening_rate"], starts=1)
    >>> f"{found.estimates[0].value:.2f}"
    '0.26'
    """
    say = progress or (lambda step, done, of: None)
    problem = Problem(swatches, curves or default_curves(), free, ties, structure, own_rates, loss)
    check_enough(problem)
    count = int(check_number("name.starts", starts, 1, 50))
    coverage = check_number("name.coverage", coverage, 0.01, 0.999)
    require_sampler()
    ends: dict[Posterior, tuple[int, int]] = {}
    step = ""

    def told(code: str, done: int, of: int) -> None:
        nonlocal step
        step = code
        say(code, done, of)

    def fit(asked: Problem) -> Posterior:
        modes = find_modes(StrandModel(asked), count, seed, told)
        mode = max(modes, key=lambda m: m.height)
        found = sample_posterior(
            asked,
            seed=seed,
            coverage=coverage,
            mode=mode,
            progress=lambda done: told("step.sampling", round(100 * done), 100),
        )
        ends[found] = len(modes), sum(m.height >= mode.height - SAME_HEIGHT for m in modes)
        return found

    counts, final, leaning = np.ones(len(swatches), bool), None, tuple[Influence, ...]()
    stopped = ""
    with one_thread():
        posterior = fit(problem)
        if ends[posterior][0] < (count if problem.free else 1):
            stopped = "step.fitting"
        elif posterior.draws.stopped:
            stopped = "step.sampling"
        elif leave_swatches_out and len(swatches.names) >= FEWEST_LEFT:
            try:
                told("step.left_out", 0, 1)
                final = judged(problem, posterior, counts)
                if not keep_suspects:
                    final = robust(final, problem, fit)
                told("step.influence", 0, 1)
                leaning = influences(final, problem)
            except KeyboardInterrupt:
                stopped = step
        if final is not None:
            posterior, counts = final.posterior, final.counts
        found = _described(posterior, final, swatches, counts, ends[posterior], seed)
        return replace(found, influences=leaning, stopped=stopped)


def _described(
    posterior: Posterior,
    final: Judged | None,
    whole: Swatches,
    counts: NDArray[np.bool_],
    ends: tuple[int, int],
    seed: int,
) -> Tuning:
    mode, problem = posterior.mode, posterior.model.problem
    table = problem.swatches
    median = posterior.draws.quantile(0.5)[None]
    found = posterior.model.settle(median, mode.own_at(median), LOOKS)
    fitted = posterior.model.strands(median, found.best())
    # Swatches told their own level and rate as far as the readings bend the density there.
    used = np.trace(found.bend @ np.linalg.inv(found.bend + np.eye(2)), axis1=-2, axis2=-1)
    lab = posterior.model.predict(fitted)[0]
    squares = ((lab - table.lab) / table.sd) ** 2
    room = 3.0 * len(table) - used.sum() - len(problem.free)
    before = StrandModel(replace(problem, free=(), ties=(), misfit=False))
    middle = np.zeros((1, before.dimensions))
    own = before.from_afar(middle)[None]
    unfitted = before.predict(before.strands(middle, own))[0]
    return Tuning(
        posterior=posterior,
        fitted=fitted,
        tried=ends[0],
        agreed=ends[1],
        difference=delta_e_2000(lab, table.lab),
        difference_before=delta_e_2000(unfitted, table.lab),
        scatter_scale=float(np.sqrt(squares.sum() / max(room, 1.0))),
        held_out=None if final is None else final.held_out,
        whole=whole,
        counts=counts,
        suspicions=() if final is None else final.suspicions,
        influences=(),
        seed=seed,
        stopped="",
    )
