"""Preview: the main job in one call."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.model.curves import CurveSet, default_curves
from lift.model.domain import check_domain, edges
from lift.model.ensemble import MEMBERS, SEED, Ensemble, ensemble, expected_strand
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import path_of
from lift.model.strand import Fibres
from lift.practice.advice import Advice, advise
from lift.practice.cautions import cautions, in_order
from lift.practice.fibres import GreyLook, grey_look
from lift.practice.goal import Goal, resolve_goal
from lift.practice.overprocessing import overprocessed
from lift.practice.tone import ToneDirection, tone_direction
from lift.practice.window import LIMIT_MINUTES, Window, limit_within, time_grid, window_of
from lift.quantities import MINUTES
from lift.words import Note


@dataclass(frozen=True, eq=False)
class Preview:
    """What to expect of one strand, one mixture and one time.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        As asked.
    minutes : float
        Processing time [min].
    drawn : Ensemble
        On the window's grid, with the asked time as its last column.
    window : Window
        Window and probabilities.
    advice : tuple of Advice
        What to change, when the window is missing or narrow.
    tone : ToneDirection
        What answers the warmth of the pigmented fibres at that time.
    cautions : tuple of Note
        To be shown with the result.
    curves : CurveSet
        The curve set used.
    """

    hair: Hair
    mixture: Mixture
    minutes: float
    drawn: Ensemble
    window: Window
    advice: tuple[Advice, ...]
    tone: ToneDirection
    cautions: tuple[Note, ...]
    curves: CurveSet

    @property
    def p_too_warm(self) -> float:
        """Probability of being warmer than the goal allows at that time."""
        return float(self.drawn.probability_too_warm(self.window.target.warmth_limit)[-1])

    @property
    def grey(self) -> GreyLook | None:
        """Both kinds of fibres of the expected strand at that time; None where no hair is grey."""
        now = self.drawn.central
        white = None if now.white is None else now.white[-1]
        fibres = Fibres(now.pigmented[-1], white, now.lab[-1])
        grey = self.hair.grey_percent, self.hair.resistant_percent
        return grey_look(fibres, *grey, now.curves, path_of(self.hair, now.curves))

    @property
    def stage(self) -> str:
        """Stage of the expected strand's underpigment at that time."""
        return str(self.drawn.central.stage[-1])

    @property
    def stage_chances(self) -> dict[str, float]:
        """Share of the strands [-] at each stage at that time, from dark to light."""
        return self.drawn.stage_chances(-1)

    def band_at(self, quantity: str) -> tuple[Any, Any, Any]:
        """Low, median and high of a quantity at the asked time."""
        return self.drawn.band(quantity, at=-1)

    @property
    def edges(self) -> tuple[Note, ...]:
        """What lies at the edge of the mixture's domain."""
        return edges(self.hair, self.mixture, self.minutes, self.curves)

    @property
    def can_be_inside(self) -> bool:
        """Whether any strand can still be inside the window, at that time or later."""
        window = self.window
        # The asked time may lie between two of the grid: the one before it counts, too.
        now = max(int(np.searchsorted(window.minutes, self.minutes, side="right")) - 1, 0)
        return bool(np.any(window.p_inside[now:] > 0.0))

    @property
    def extrapolates(self) -> tuple[Note, ...]:
        """What lies outside the conditions that the curve set is good for."""
        return _extrapolates(self.curves, self.hair, self.mixture, self.minutes, self.window)


def preview(
    hair: Hair,
    mixture: Mixture,
    minutes: float,
    goal: Goal | None = None,
    curves: CurveSet | None = None,
    *,
    members: int = MEMBERS,
    seed: int = SEED,
    limit_minutes: float = LIMIT_MINUTES,
    latent: ArrayLike | None = None,
) -> Preview:
    """Answer the main job: colour, window, risk and tone direction.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    minutes : float
        Processing time [min], within the domain of the mixture.
    goal : Goal, optional
        Default: any visible lift within the curve set's warmth allowance.
    members, seed : int
        Size and seed of the ensemble.
    limit_minutes : float
        Longest time considered for the window [min]; the end of the mixture's domain when that is
        earlier.
    latent : array_like, optional
        Deviates to use in place of a draw (a strand test's posterior), shape (members, 5).

    Examples
    --------
    >>> seen = preview(Hair(7, "fine", damp=True), Mixture("base-break", 10), 5)
    >>> seen.stage, round(seen.p_too_warm, 2)
    ('yellow', 0.23)
    """
    curves = curves or default_curves()
    time = MINUTES.number(minutes)
    check_domain(hair, mixture, time, curves)
    limit = limit_within(mixture, limit_minutes, curves)
    grid = time_grid(max(limit, time))
    times = np.append(grid, time)
    drawn = ensemble(hair, mixture, times, curves, members=members, seed=seed, latent=latent)
    target = resolve_goal(goal, hair, curves)
    window = window_of(drawn.up_to(grid.size), target, limit)
    strand, own = (hair, curves) if latent is None else expected_strand(hair, curves, latent)
    seen = drawn.central.pigmented[-1]
    return Preview(
        hair=hair,
        mixture=mixture,
        minutes=time,
        drawn=drawn,
        window=window,
        advice=advise(strand, mixture, window, own),
        tone=tone_direction(seen, path_of(hair, curves).lab_of_lightness(seen[0]), curves),
        cautions=in_order(
            (
                *overprocessed(hair, mixture, drawn.members.level[:, -1]),
                *_extrapolates(curves, hair, mixture, time, window),
                *cautions(mixture, time, hair, curves),
            )
        ),
        curves=curves,
    )


def _extrapolates(
    curves: CurveSet, hair: Hair, mixture: Mixture, minutes: float, window: Window
) -> tuple[Note, ...]:
    """Of the asked time and of the close that warmth makes, which is shown beside it."""
    shown = [minutes]
    if window.closes is not None and window.closes_by == "warmth":
        shown.append(window.closes)
    return curves.extrapolations(hair, mixture, shown)
