"""Next measurement: which swatch, strength and time would tell most about one prediction.

The posterior's draws say how prediction and reading go together; what a reading would leave of
the prediction's uncertainty follows from that, to first order, without it being made (Lindley
1956, expected information; Chaloner & Verdinelli 1995, Bayesian design; both from memory). The
prediction is that of the curves: what one strand differs from another no swatch can take away.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lift.doors import checked
from lift.errors import Floats, LiftError, check_choice, check_number
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate
from lift.practice.cautions import cautions
from lift.quantities import MINUTES
from lift.research.planning.choice import Choice, Costs, choices
from lift.research.planning.information import Together, parameters_of
from lift.research.swatches.table import SCATTER
from lift.results import Result
from lift.words import Note, note

QUANTITIES = {"L*": "L*", "a*": "a*", "b*": "b*", "lift": "levels", "warmth": "dC*"}
"""What may be predicted, and its unit."""

ALIKE = 0.03
"""Share of the width by which others may leave more of it and be as good; assumed: a width told by
400 draws is not known better (one over the root of twice their number)."""


@checked
@dataclass(frozen=True, eq=False)
class Asked:
    """The prediction whose interval is to shrink.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        Single numbers.
    minutes : float
        Processing time [min], 0 to 120.
    quantity : str
        One of `QUANTITIES`.

    Examples
    --------
    >>> import lift
    >>> asked = lift.lab.Asked(lift.Hair(5), lift.Mixture("cream", 20), 30)
    >>> str(asked.words)
    'warmth of level 5 after 30 min of cream, 20 vol'
    """

    hair: Hair
    mixture: Mixture
    minutes: float
    quantity: str = "warmth"

    def __post_init__(self) -> None:
        check_choice("name.quantity", self.quantity, QUANTITIES)
        MINUTES.number(self.minutes)

    @property
    def words(self) -> Note:
        """As a person would say it."""
        return note(
            "next.asked",
            quantity=self.quantity,
            level=self.hair.level,
            minutes=self.minutes,
            kind=self.mixture.kind,
            volume=self.mixture.developer_volume,
        )

    def away(self, choice: Choice) -> float:
        """How far a choice is from what is asked: levels, doublings of the rest, another class."""
        ratios = (
            choice.volume / max(float(self.mixture.developer_volume), 1.0),
            choice.minutes / max(float(self.minutes), 1.0),
        )
        doublings = sum(abs(np.log2(np.clip(r, 1e-3, 1e3))) for r in ratios)
        other = choice.kind != self.mixture.kind
        return float(abs(choice.level - np.mean(self.hair.level)) + doublings + other)

    def of(self, curves: CurveSet) -> Floats:
        """Predict it with each draw of a curve set's posterior, shape (draws,).

        Raises
        ------
        LiftError
            When the curve set has no posterior.
        """
        drawn, _ = parameters_of(curves)
        columns = {name: column[:, None] for name, column in drawn.items()}
        values = {**curves.values, **columns}
        found = simulate(self.hair, self.mixture, [self.minutes], curves, values=values)
        axes = {"L*": 0, "a*": 1, "b*": 2}
        if self.quantity in axes:
            return np.asarray(found.lab[:, 0, axes[self.quantity]])
        return np.asarray(getattr(found, self.quantity)[:, 0])


@dataclass(frozen=True, eq=False, repr=False)
class NextPlan(Result):
    """What each choice would be worth, and which to make.

    Parameters
    ----------
    asked : Asked
        The prediction.
    curves : CurveSet
        The curve set used.
    choices : tuple of Choice
        All that were weighed.
    width : float
        Width of the prediction's 90 % interval now, in its unit.
    widths : numpy.ndarray
        Expected width after measuring each choice alone, shape (choices,).
    bits : numpy.ndarray
        Expected information about all sampled parameters [bits], shape (choices,).
    taken : tuple of int
        Choices to make, in order; each is the best given those before.
    taken_widths : numpy.ndarray
        Expected width after each of them, shape (taken,).
    alike : tuple of int
        Choices that are as good as the first taken, it among them, the nearest first.
    costs : numpy.ndarray or None
        Of each choice, shape (choices,), where costs were given.
    """

    asked: Asked
    curves: CurveSet
    choices: tuple[Choice, ...]
    width: float
    widths: Floats
    bits: Floats
    taken: tuple[int, ...]
    taken_widths: Floats
    alike: tuple[int, ...]
    costs: Floats | None = None

    @property
    def cautions(self) -> tuple[Note, ...]:
        """To be shown with the plan."""
        return cautions(self.asked.mixture, self.asked.minutes, self.asked.hair)

    @property
    def order(self) -> list[int]:
        """Choices from the most to the least useful alone, for what they cost."""
        gain = (self.width - self.widths) / (1.0 if self.costs is None else self.costs)
        return [int(i) for i in np.argsort(-gain, kind="stable")]


def plan_next(
    asked: Asked,
    curves: CurveSet,
    weighed: Sequence[Choice] | None = None,
    *,
    count: int = 1,
    repeats: float = 3.0,
    scatter: tuple[float, float, float] = SCATTER,
    costs: Costs | None = None,
) -> NextPlan:
    """Weigh every choice, and take the best one, or several one after another.

    The best gains most: the width that it takes off, for what it costs where that is given. Of
    choices that are as good the one nearest to the question is taken: what is far from it helps
    only as far as the model is right.

    Parameters
    ----------
    asked : Asked
        The prediction.
    curves : CurveSet
        With a posterior.
    weighed : sequence of Choice, optional
        Default: `choices`.
    count : int
        Swatches to plan, 1 to 50; each may be chosen again.
    repeats : float
        Readings to be averaged in each row [-].
    scatter : tuple of float
        Standard deviation of one reading in L*, a*, b*.
    costs : Costs, optional
        Of tresses, minutes and readings; default: all choices cost the same.

    Returns
    -------
    NextPlan

    Raises
    ------
    LiftError
        When the curve set has no posterior, or it leaves the prediction no uncertainty.

    Examples
    --------
    >>> import lift
    >>> few = lift.lab.read_swatches("shared/invented_swatches.csv").rows(range(12))
    >>> problem = lift.lab.Problem(few, lift.default_curves(), ["lightening_rate"])
    >>> curves = lift.lab.sample_posterior(problem, wanted=200).curves(lift.default_curves())
    >>> asked = lift.lab.Asked(lift.Hair(5), lift.Mixture("cream", 20), 30)
    >>> plan = lift.lab.plan_next(asked, curves)
    >>> bool(plan.taken_widths[0] < plan.width)
    True
    """
    weighed = choices() if weighed is None else tuple(weighed)
    count = int(check_number("name.swatches", count, 1, 50))
    together = Together.of(asked.of(curves), curves, weighed, repeats, scatter)
    now = together.width
    # Draws that are alike differ by rounding.
    if not now > 1e-9:
        raise LiftError("next.no_doubt", asked=asked.words)
    widths, bits = together.weigh()
    away = [asked.away(each) for each in weighed]
    asks = np.ones(len(weighed)) if costs is None else costs.of(weighed, repeats)
    alike = _as_good(widths, now, asks, away)
    taken, after, left = [], [], widths
    for number in range(count):
        if number:
            before = together.width
            left, _ = together.weigh()
            best = _as_good(left, before, asks, away)[0]
        else:
            best = alike[0]
        taken.append(best)
        after.append(float(left[best]))
        together.take(best)
    return NextPlan(
        *(asked, curves, weighed, now, widths, bits, tuple(taken), np.array(after), alike),
        costs=None if costs is None else asks,
    )


def _as_good(widths: Floats, now: float, asks: Floats, away: Sequence[float]) -> tuple[int, ...]:
    """Choices that gain as much for what they ask as the best, but for `ALIKE`.

    The nearest to the question first.
    """
    gain = (now - widths) / asks
    best = int(np.argmax(gain))
    good = np.flatnonzero(gain >= gain[best] - ALIKE * now / asks[best])
    return tuple(sorted(good.tolist(), key=lambda i: (away[i], -gain[i])))


def expected_width(
    asked: Asked,
    curves: CurveSet,
    measured: Sequence[Choice],
    *,
    repeats: float = 3.0,
    scatter: tuple[float, float, float] = SCATTER,
) -> float:
    """Width of the 90 % interval to be expected once all of `measured` are measured."""
    together = Together.of(asked.of(curves), curves, measured, repeats, scatter)
    for index in range(len(measured)):
        together.take(index)
    return together.width
