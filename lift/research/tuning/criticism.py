"""Model criticism: which physics the measured swatches need.

Alternative structures are fitted to the same readings, by themselves: no misfit term helps them.
What decides is how well they predict swatches left out. How well they fit for what they cost (AICc)
stands beside it: readings of one swatch are not independent, and AICc takes them to be.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from lift.errors import Floats, LiftError, check_choice, check_number
from lift.model.course import STANDARD, Structure
from lift.model.curves import CurveSet, default_curves
from lift.optics.colorimetry import delta_e_2000
from lift.research.posterior.bayes import Posterior, sample_posterior
from lift.research.posterior.mode import one_thread
from lift.research.posterior.problem import FREE, Problem
from lift.research.posterior.strands import StrandModel
from lift.research.swatches.table import Swatches
from lift.research.tuning.findings import WIDE
from lift.research.tuning.left_out import HeldOut, leave_out
from lift.research.tuning.starts import Progress, aicc_of, check_enough, find_modes
from lift.results import Result
from lift.words import Note, note

HALF_OXIDISED = ("half_oxidised_yield", "half_oxidised_rate_ratio", "half_oxidised_slope")
UPTAKE = ("uptake_rate",)
FEWEST_SWATCHES = 4

CLEAR = 2.0
"""Standard errors from swatch to swatch by which a structure predicts clearly better."""


@dataclass(frozen=True)
class Variant:
    """One structure to try.

    Parameters
    ----------
    name : str
        Code of its name, ``structure.NAME`` in the catalogue; what it leaves out or lets go is
        ``structure.NAME.words``.
    structure : Structure
        Which physics it has.
    drops, adds : tuple of str
        Free parameters that it does not have, and that it has besides.
    base : str
        The variant that it lets go, where it does.
    """

    name: str
    structure: Structure = STANDARD
    drops: tuple[str, ...] = ()
    adds: tuple[str, ...] = ()
    base: str = ""

    @property
    def label(self) -> Note:
        """Name in tables."""
        return note(f"structure.{self.name}")

    @property
    def words(self) -> Note:
        """What it leaves out or lets go."""
        return note(f"structure.{self.name}.words", base=self.base)


FULL, ORDER_FREE = "full", "order_free"
ORDER = "hydroperoxide_order"
NO_HALF_OXIDISED, NO_UPTAKE, NEITHER = "no_half_oxidised", "no_uptake", "neither"
VARIANTS = (
    Variant(FULL),
    Variant(NO_HALF_OXIDISED, Structure(False, True), HALF_OXIDISED),
    Variant(NO_UPTAKE, Structure(True, False), UPTAKE),
    Variant(NEITHER, Structure(False, False), HALF_OXIDISED + UPTAKE),
)
"""Tried first; the best of them is then tried with the response to HO2- free."""


@dataclass(frozen=True, eq=False)
class Tried:
    """One structure, fitted.

    Parameters
    ----------
    variant : Variant
        Which.
    posterior : Posterior
        What the swatches leave open of it.
    aicc : float
        Akaike's criterion for small samples, see `lift.research.tuning.starts.aicc_of`; only
        differences count.
    difference : numpy.ndarray
        Reading less fit in L*, a*, b*, shape (rows, 3).
    colour_error : numpy.ndarray
        dE00 between reading and fit, shape (rows,).
    held_out : HeldOut
        Prediction of swatches left out.
    """

    variant: Variant
    posterior: Posterior
    aicc: float
    difference: Floats
    colour_error: Floats
    held_out: HeldOut

    @property
    def problem(self) -> Problem:
        """What was fitted to what."""
        return self.posterior.model.problem

    @property
    def scatter_scale(self) -> float:
        """Residuals over the expected scatter [-], root mean square."""
        over = self.difference / self.problem.swatches.sd
        swatches = self.problem.swatches
        room = 3 * len(swatches) - 2 * len(swatches.names) - len(self.problem.free)
        return float(np.sqrt(np.sum(over**2) / max(room, 1)))

    @property
    def left_out(self) -> Floats:
        """Mean dE00 of each swatch when it was left out, shape (swatches,)."""
        own = self.problem.swatches.swatch[self.held_out.rows]
        count = len(self.problem.swatches.names)
        rows = np.bincount(own, minlength=count)
        summed = np.bincount(own, weights=self.held_out.tuned, minlength=count)
        return np.asarray(np.where(rows > 0, summed / np.maximum(rows, 1), np.nan))

    def estimate(self, name: str) -> tuple[float, float]:
        """Value of a free parameter, and its standard error."""
        beliefs = {b.name: b for b in self.posterior.beliefs}
        found = beliefs[check_choice("name.free_parameter", name, beliefs)]
        return found.value, found.standard_error


@dataclass(frozen=True, eq=False, repr=False)
class Criticism(Result):
    """All structures: those of `VARIANTS`, then the best with the response to HO2- free."""

    tried: tuple[Tried, ...]

    def __getitem__(self, name: str) -> Tried:
        by_name = {t.variant.name: t for t in self.tried}
        return by_name[check_choice("name.structure", name, by_name)]

    @property
    def delta(self) -> Floats:
        """AICc above the least, shape (structures,)."""
        aicc = np.array([t.aicc for t in self.tried])
        return np.asarray(aicc - aicc.min())

    @property
    def weights(self) -> Floats:
        """Akaike weights [-]: how the evidence of AICc is shared out, shape (structures,)."""
        likely = np.exp(-0.5 * self.delta)
        return np.asarray(likely / likely.sum())

    def left_out_against(self, name: str, other: str) -> tuple[float, float]:
        """How much worse one structure predicts left-out swatches than another.

        Parameters
        ----------
        name, other : str
            Structures.

        Returns
        -------
        mean, standard_error : float
            Of the difference from swatch to swatch [dE00]; positive: `name` is worse.
        """
        off = self[name].left_out - self[other].left_out
        off = off[np.isfinite(off)]
        return float(off.mean()), float(off.std(ddof=1) / np.sqrt(off.size))

    @property
    def findings(self) -> tuple[Note, ...]:
        """What the data say of each piece of physics."""
        said = []
        if self.tried[0].problem.swatches.invented:
            said.append(note("finding.invented"))
        best = self[self.best_of([t.variant.name for t in self.tried])]
        if best.scatter_scale > WIDE:
            said.append(
                note("structures.none_fits", best=best.variant.label, scale=best.scatter_scale)
            )
        said.append(self._needed("half_oxidised", (FULL, NO_UPTAKE), (NO_HALF_OXIDISED, NEITHER)))
        said.append(self._needed("uptake", (FULL, NO_HALF_OXIDISED), (NO_UPTAKE, NEITHER)))
        order, error = self[ORDER_FREE].estimate(ORDER)
        base = self.best_of((FULL, NO_HALF_OXIDISED, NO_UPTAKE, NEITHER))
        worse, by = self.left_out_against(base, ORDER_FREE)
        against = self._against(ORDER_FREE, base)
        asked = worse > CLEAR * by
        said.append(
            note("structures.order", order=order, error=error, asked=asked, against=against)
        )
        return tuple(said)

    def best_of(self, names: Sequence[str]) -> str:
        """Name of the structure that predicts swatches left out best, among some."""
        return min(names, key=lambda name: float(np.nanmean(self[name].left_out)))

    def _needed(self, what: str, having: Sequence[str], lacking: Sequence[str]) -> Note:
        best, without = self.best_of(having), self.best_of(lacking)
        mean, error = self.left_out_against(without, best)
        if mean > CLEAR * error:
            verdict = "need"
        elif mean > error:
            verdict = "favour"
        else:
            verdict = "cannot_tell" if mean >= -error else "without"
        against = self._against(without, best)
        return note(f"structures.{verdict}", what=what, against=against)

    def _against(self, name: str, other: str) -> Note:
        mean, error = self.left_out_against(name, other)
        rise = self[name].aicc - self[other].aicc
        return note("structures.against", rise=rise, mean=abs(mean), worse=mean >= 0.0, error=error)


def support(delta: float) -> str:
    """Code of the support of a structure whose AICc is so much above the least.

    Burnham & Anderson 2002, Model Selection and Multimodel Inference, section 2.6 (from memory):
    up to 2 substantial, 4 to 7 considerably less, above 10 essentially none.
    """
    if delta <= 2.0:
        return "substantial"
    if delta <= 4.0:
        return "some"
    return "less" if delta <= 10.0 else "none"


def criticise(
    swatches: Swatches,
    curves: CurveSet | None = None,
    free: Sequence[str] = FREE,
    *,
    starts: int = 3,
    seed: int = 1,
    progress: Progress | None = None,
) -> Criticism:
    """Fit every structure to the same swatches.

    Parameters
    ----------
    swatches : Swatches
        At least 4 swatches, each with a reading after its first.
    curves : CurveSet, optional
        Where the fits start, and all that is not free; default: the shipped set.
    free : sequence of str
        Free parameters of the full structure; others drop or add some.
    starts : int
        Starts of each fit, 1 to 50.
    seed : int
        Seed of the starts.
    progress : callable, optional
        See `lift.research.tuning.starts.Progress`.

    Raises
    ------
    LiftError
        With too few swatches or readings, or an unfit parameter.

    Examples
    --------
    >>> from lift.research.swatches.swatch_file import read_swatches
    >>> swatches = read_swatches("shared/invented_swatches.csv")
    >>> found = criticise(swatches, starts=1)  # doctest: +SKIP
    """
    if len(swatches.names) < FEWEST_SWATCHES:
        raise LiftError("structures.too_few", swatches=len(swatches.names), fewest=FEWEST_SWATCHES)
    if ORDER in free:
        raise LiftError("structures.order_is_freed", name=ORDER)
    count = int(check_number("name.starts", starts, 1, 50))
    say = progress or (lambda step, done, of: None)
    curves = curves or default_curves()
    tried: list[Tried] = []

    def add(variant: Variant) -> None:
        say(f"structure.{variant.name}", len(tried), len(VARIANTS) + 1)
        names = (*(n for n in free if n not in variant.drops), *variant.adds)
        problem = Problem(swatches, curves, names, (), variant.structure, misfit=False)
        tried.append(_try(variant, problem, count, seed))

    for variant in VARIANTS:
        add(variant)
    best = min(tried, key=lambda t: float(np.nanmean(t.left_out))).variant
    add(replace(best, name=ORDER_FREE, adds=(ORDER,), base=best.name))
    say("step.done", len(tried), len(tried))
    return Criticism(tuple(tried))


def _try(variant: Variant, problem: Problem, starts: int, seed: int) -> Tried:
    check_enough(problem, of_each=2)
    with one_thread():
        modes = find_modes(StrandModel(problem), starts, seed, lambda step, done, of: None)
        mode = max(modes, key=lambda m: m.height)
        posterior = sample_posterior(problem, seed=seed, wanted=400.0, most=100, mode=mode)
        held_out = leave_out(posterior)
    fitted = mode.model.predict(mode.model.strands(mode.point[None], mode.own[None]))[0]
    lab = problem.swatches.lab
    return Tried(
        variant=variant,
        posterior=posterior,
        aicc=aicc_of(mode),
        difference=lab - fitted,
        colour_error=delta_e_2000(fitted, lab),
        held_out=held_out,
    )
