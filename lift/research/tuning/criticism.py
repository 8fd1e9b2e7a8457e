"""Model criticism: which physics the measured swatches need.

Alternative structures are fitted to the same readings and compared by how well they fit for what
they cost (AICc) and by how well they predict swatches left out. The second is the harder test:
readings of one swatch are not independent, and AICc takes them to be.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError, check_choice, check_number
from lift.model.course import PEROXIDE_ORDER, STANDARD, Structure
from lift.model.curves import CurveSet, default_curves
from lift.optics.colorimetry import delta_e_2000
from lift.practice.preview import rounded
from lift.research.swatches.table import Swatches
from lift.research.tuning.fitting import Fit
from lift.research.tuning.held_out import HeldOut, leave_out
from lift.research.tuning.problem import FREE, Problem
from lift.research.tuning.tune import Progress, start_points
from lift.research.tuning.variance import LEAST_SPREAD, fit_problem, fit_variances

HALF_OXIDISED = ("half_oxidised_yield", "half_oxidised_rate_ratio", "half_oxidised_slope")
UPTAKE = ("uptake_rate",)
FEWEST_SWATCHES = 4


@dataclass(frozen=True)
class Variant:
    """One structure to try.

    Parameters
    ----------
    name : str
        Name in tables.
    words : str
        What it leaves out or lets go.
    structure : Structure
        Which physics it has.
    drops, adds : tuple of str
        Free parameters that it does not have, and that it has besides.
    """

    name: str
    words: str
    structure: Structure = STANDARD
    drops: tuple[str, ...] = ()
    adds: tuple[str, ...] = ()


FULL, ORDER_FREE = "full", "order free"
NO_HALF_OXIDISED, NO_UPTAKE, NEITHER = "no half-oxidised", "no uptake", "neither"
VARIANTS = (
    Variant(FULL, "half-oxidised melanin and uptake"),
    Variant(NO_HALF_OXIDISED, "melanin goes in one step", Structure(False, True), HALF_OXIDISED),
    Variant(NO_UPTAKE, "the fibre is as strong inside as outside", Structure(True, False), UPTAKE),
    Variant(NEITHER, "one step, no uptake", Structure(False, False), HALF_OXIDISED + UPTAKE),
)
"""Tried first; the best of them is then tried with the order in peroxide free."""


@dataclass(frozen=True, eq=False)
class Tried:
    """One structure, fitted.

    Parameters
    ----------
    variant : Variant
        Which.
    problem : Problem
        With the spread of the rates and the scatter that were found.
    fit : Fit
        Solution.
    aicc : float
        Akaike's criterion for small samples, see `marginal_aicc`; only differences count.
    difference : numpy.ndarray
        Reading less fit in L*, a*, b*, shape (rows, 3).
    colour_error : numpy.ndarray
        dE00 between reading and fit, shape (rows,).
    held_out : HeldOut
        Prediction of swatches left out.
    """

    variant: Variant
    problem: Problem
    fit: Fit
    aicc: float
    difference: Floats
    colour_error: Floats
    held_out: HeldOut

    @property
    def left_out(self) -> Floats:
        """Mean dE00 of each swatch when it was left out, shape (swatches,)."""
        own = self.problem.swatches.swatch[self.held_out.rows]
        count = len(self.problem.swatches.names)
        rows = np.bincount(own, minlength=count)
        summed = np.bincount(own, weights=self.held_out.tuned, minlength=count)
        return np.asarray(np.where(rows > 0, summed / np.maximum(rows, 1), np.nan))

    def estimate(self, name: str) -> tuple[float, float]:
        """Value of a free parameter, and its standard error from swatch to swatch."""
        index = self.problem.free.index(check_choice("free parameter", name, self.problem.free))
        return float(self.fit.x[index]), float(self.held_out.jackknife_errors[index])


@dataclass(frozen=True, eq=False)
class Criticism:
    """All structures, side by side.

    Parameters
    ----------
    tried : tuple of Tried
        In the order of `VARIANTS`, then the best of them with the order in peroxide free.
    """

    tried: tuple[Tried, ...]

    def __getitem__(self, name: str) -> Tried:
        by_name = {t.variant.name: t for t in self.tried}
        return by_name[check_choice("structure", name, by_name)]

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
    def findings(self) -> tuple[str, ...]:
        """What the data say of each piece of physics, one sentence each."""
        said = []
        if self.tried[0].problem.swatches.invented:
            said.append("The readings are invented: nothing here is evidence about hair.")
        said.append(
            self._needed("half-oxidised melanin", (FULL, NO_UPTAKE), (NO_HALF_OXIDISED, NEITHER))
        )
        said.append(self._needed("uptake", (FULL, NO_HALF_OXIDISED), (NO_UPTAKE, NEITHER)))
        order, error = self[ORDER_FREE].estimate(PEROXIDE_ORDER.name)
        base = self.best_of((FULL, NO_HALF_OXIDISED, NO_UPTAKE, NEITHER))
        gain = self[base].aicc - self[ORDER_FREE].aicc
        verdict = "the data ask for it" if gain > 4.0 else "the data do not ask for it"
        said.append(
            f"Order in peroxide: {order:.2f} +- {error:.2f} when free; {verdict} "
            f"({self._against(ORDER_FREE, base)})."
        )
        return tuple(said)

    def best_of(self, names: Sequence[str]) -> str:
        """Name of the structure with the least AICc among some."""
        return min(names, key=lambda name: self[name].aicc)

    def _needed(self, what: str, having: Sequence[str], lacking: Sequence[str]) -> str:
        best, without = self.best_of(having), self.best_of(lacking)
        rise = self[without].aicc - self[best].aicc
        mean, error = self.left_out_against(without, best)
        tail = f"(without it {self._against(without, best)})"
        if rise > 10.0 and mean > 2.0 * error:
            return f"The data need {what} {tail}."
        if rise > 4.0:
            return f"The data favour {what} {tail}."
        if rise >= -2.0:
            return f"The data cannot tell whether there is {what} {tail}."
        return f"The data do without {what} {tail}."

    def _against(self, name: str, other: str) -> str:
        mean, error = self.left_out_against(name, other)
        return (
            f"AICc {self[name].aicc - self[other].aicc:+.1f}, swatches left out predicted "
            f"{'worse' if mean >= 0.0 else 'better'} by {abs(mean):.2f} +- {error:.2f} dE00"
        )

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        table = self.tried[0].problem.swatches
        rows = []
        for i, t in enumerate(self.tried):
            mean, error = self.left_out_against(t.variant.name, FULL)
            rows.append(
                {
                    "name": t.variant.name,
                    "words": t.variant.words,
                    "free": list(t.problem.free),
                    "converged": t.fit.converged,
                    "aicc": rounded(t.aicc),
                    "delta_aicc": rounded(self.delta[i]),
                    "weight": rounded(self.weights[i]),
                    "support": support(float(self.delta[i])),
                    "dE00": rounded(t.colour_error.mean()),
                    "left_out_dE00": rounded(np.nanmean(t.left_out)),
                    "left_out_against_full": {"mean": rounded(mean), "error": rounded(error)},
                    "rate_spread": rounded(t.problem.rate_spread),
                }
            )
        return {
            "data_sha256": table.sha256,
            "invented": table.invented,
            "swatches": len(table.names),
            "readings": len(table),
            "structures": rows,
            "findings": list(self.findings),
        }


def support(delta: float) -> str:
    """Support of a structure whose AICc is so much above the least, in words.

    Burnham & Anderson 2002, Model Selection and Multimodel Inference, section 2.6 (from memory):
    up to 2 substantial, 4 to 7 considerably less, above 10 essentially none.
    """
    if delta <= 2.0:
        return "substantial"
    if delta <= 4.0:
        return "some"
    return "considerably less" if delta <= 10.0 else "essentially none"


def criticise(
    swatches: Swatches,
    curves: CurveSet | None = None,
    free: Sequence[str] = FREE,
    *,
    starts: int = 3,
    seed: int = 1,
    loss: str = "soft_l1",
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
    loss : str
        ``soft_l1`` (robust) or ``linear`` (squares).
    progress : callable, optional
        See `lift.research.tuning.tune.Progress`.

    Returns
    -------
    Criticism

    Raises
    ------
    LiftError
        With too few swatches or readings, or an unfit parameter.
    """
    if len(swatches.names) < FEWEST_SWATCHES:
        raise LiftError(
            f"{len(swatches.names)} swatches cannot tell structures apart; "
            f"at least {FEWEST_SWATCHES} needed"
        )
    if PEROXIDE_ORDER.name in free:
        raise LiftError(f"{PEROXIDE_ORDER.name} is freed by one of the structures; leave it out")
    count = int(check_number("starts", starts, 1, 50))
    say = progress or (lambda step, done, of: None)
    curves = curves or default_curves()
    tried: list[Tried] = []

    def add(variant: Variant) -> None:
        say(variant.name, len(tried), len(VARIANTS) + 1)
        names = (*(n for n in free if n not in variant.drops), *variant.adds)
        tried.append(_try(variant, swatches, curves, names, count, seed, loss))

    for variant in VARIANTS:
        add(variant)
    best = min(tried, key=lambda t: t.aicc).variant
    add(
        replace(
            best,
            name=ORDER_FREE,
            words=f"{best.name}, with any order in peroxide",
            adds=(PEROXIDE_ORDER.name,),
        )
    )
    say("done", len(tried), len(tried))
    return Criticism(tuple(tried))


def _try(
    variant: Variant,
    swatches: Swatches,
    curves: CurveSet,
    free: Sequence[str],
    starts: int,
    seed: int,
    loss: str,
) -> Tried:
    spread = max(float(curves.values["rate_log_sd"]), LEAST_SPREAD)
    problem = Problem(swatches, curves, free, (), variant.structure, rate_spread=spread)
    if 3 * len(swatches) <= problem.start.size:
        raise LiftError(f"{len(swatches)} readings cannot decide {problem.start.size} unknowns")
    ends = [fit_problem(problem, point, loss) for point in start_points(problem, starts, seed)]
    problem, best = fit_variances(problem, ends, loss)
    fitted = problem.predict(best.x)
    return Tried(
        variant=variant,
        problem=problem,
        fit=best,
        aicc=marginal_aicc(problem, best),
        difference=swatches.lab - fitted,
        colour_error=delta_e_2000(fitted, swatches.lab),
        held_out=leave_out(problem, best, loss, lambda step, done, of: None),
    )


def marginal_aicc(problem: Problem, found: Fit) -> float:
    """Akaike's criterion for small samples, with levels and rates of the swatches integrated out.

    The question is what all hair has in common, and for that the marginal likelihood is the one
    to use (Vaida & Blanchard 2005, Biometrika 92:351; from memory): given the swatches' own rates,
    a wrong order in peroxide would hide in them. The integral is Laplace's.

    Parameters
    ----------
    problem : Problem
        With the spread of the rates and the scatter that were found.
    found : Fit
        Fit of it.

    Returns
    -------
    float
        Only differences between fits to the same readings count; infinite with too few readings.
    """
    readings = 3 * len(problem.swatches)
    _, slope = found.influence()
    own = found.jacobian[:, len(problem.free) :] * np.sqrt(slope)[:, None]
    _, log_determinant = np.linalg.slogdet(own.T @ own)
    deviance = found.misfit + 2.0 * readings * np.log(problem.scatter_scale) + log_determinant
    # The scatter and the spread of the rates were found from the readings too.
    used = len(problem.free) + 2
    room = readings - used - 1
    if room <= 0:
        return float("inf")
    return float(deviance + 2.0 * used + 2.0 * used * (used + 1.0) / room)
