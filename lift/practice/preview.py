"""Preview: the main job in one call."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.model.curves import CurveSet, default_curves
from lift.model.domain import check_domain, edges
from lift.model.ensemble import MEMBERS, SEED, Ensemble, ensemble
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.natural import path_of
from lift.model.strand import Fibres, Pigment
from lift.practice.advice import Advice, advise
from lift.practice.allowed import Allowed
from lift.practice.cautions import cautions, in_order
from lift.practice.consulted import Consulted
from lift.practice.fibres import GreyLook, grey_look
from lift.practice.goal import Goal, Lighten, Tone, usual_goal
from lift.practice.overprocessing import overprocessed
from lift.practice.passages import Passage, passages
from lift.practice.target import Target, resolve_goal
from lift.practice.tone import ToneDirection, tone_direction
from lift.practice.toned import Toned, toned
from lift.practice.wheel_and_dye import WheelAndDye, wheel_and_dye
from lift.practice.window import LIMIT_MINUTES, Window, limit_within, time_grid, window_of
from lift.quantities import MINUTES
from lift.results import Result
from lift.words import Note


@dataclass(frozen=True, eq=False, repr=False)
class Preview(Result):
    """What to expect of one strand, one mixture and one time.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        As asked.
    minutes : float
        Processing time [min].
    drawn : Ensemble
        On the window's grid, with the asked time as its last column.
    target : Target or None
        The goal made definite; None where it is open.
    window : Window or None
        Window and probabilities; None where the goal is open.
    passages : tuple of Passage
        Where the goal is open, the levels that lightening passes within its time limit.
    limit_minutes : float
        Longest time considered [min].
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
    target: Target | None
    window: Window | None
    passages: tuple[Passage, ...]
    limit_minutes: float
    advice: tuple[Advice, ...]
    tone: ToneDirection
    cautions: tuple[Note, ...]
    curves: CurveSet

    @property
    def warmth_limit(self) -> float | None:
        """Largest warmth that the goal allows [dC*]; None where it allows any."""
        limit = np.inf if self.target is None else self.target.warmth_limit
        return float(limit) if np.isfinite(limit) else None

    @property
    def p_too_warm(self) -> float | None:
        """Probability of being too warm for the goal at that time; None where it is open."""
        if self.target is None:
            return None
        if self.warmth_limit is not None:
            return float(self.drawn.probability_too_warm(self.target.warmth_limit)[-1])
        return self.places["too_warm"]

    @property
    def places(self) -> dict[str, float]:
        """Share of the strands [-] not there yet, inside, too warm and too light at that time."""
        assert self.window is not None
        each, now = self.window.each, self.minutes
        past = now >= each.passed
        inside = (now >= each.reached) & ~past & (now <= self.limit_minutes)
        warm = past & (each.too_warm <= each.too_light)
        return {
            "not_lifted": float(np.mean(~past & (now < each.reached))),
            "inside": float(np.mean(inside)),
            "too_warm": float(np.mean(warm)),
            "too_light": float(np.mean(past & ~warm)),
        }

    @cached_property
    def toned(self) -> Toned | None:
        """The nearest dye and the colour after it at that time; None where none is to follow.

        It answers the goal's colour; of an open goal natural hair.
        """
        if self.target is not None and not self.target.toned:
            return None
        pigment, carried = self._now
        wanted = None if self.target is None else self.target.wanted
        return toned(
            pigment,
            self.drawn.central.values,
            path_of(self.hair, self.curves) if wanted is None else wanted,
            carried=carried,
            least_lightness=-np.inf if self.target is None else self.target.least_lightness,
        )

    @cached_property
    def wheel_and_dye(self) -> WheelAndDye:
        """What the wheel says of the warmth at that time, and which dye does it on this hair.

        Where a toner is to follow, that is the dye. Where none is, it is what the mixture would
        have had to carry.
        """
        pigment, carried = self._now
        path = path_of(self.hair, self.curves)
        if self.toned is None:
            return wheel_and_dye(pigment, self.curves, direction=self.tone, path=path)
        wanted = None if self.target is None else self.target.wanted
        return wheel_and_dye(
            pigment,
            self.curves,
            wanted,
            direction=self.tone,
            laid=self.toned.named(),
            path=path,
            in_hair=carried,
        )

    @property
    def _now(self) -> tuple[Pigment, dict[str, Any]]:
        """The expected strand at that time: its pigment, and the dose of each dye in it."""
        now = self.drawn.central
        return (
            now.pigment.map(lambda p: np.broadcast_to(p, now.lift.shape)[-1]),
            {dye: np.broadcast_to(d, now.lift.shape)[-1] for dye, d in now.tone.items()},
        )

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
        if window is None:
            return True
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
    consulted: Consulted | None = None,
    along: str | None = None,
    window: Window | None = None,
    advised: bool = True,
) -> Preview:
    """Answer the main job: colour, window, risk and tone direction.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    minutes : float
        Processing time [min], within the domain of the mixture.
    goal : Blend, Lighten, Match or Tone, optional
        Default: what the mixture usually means. A base break is to stay natural; others lighten,
        openly, and the answer tells what they pass.
    members, seed : int
        Size and seed of the ensemble.
    limit_minutes : float
        Longest time considered for the window [min]; the end of the mixture's domain when that is
        earlier.
    latent : array_like, optional
        Deviates to use in place of a draw (a strand test's posterior), shape (members, 5).
    consulted : Consulted, optional
        What the client's answers refuse, and warn of before anything else.
    along : str, optional
        Where along the hair the mixture goes on; default: at the scalp, too.
    window : Window, optional
        That of the same strand, mixture and goal, where another minute was asked of them before.
    advised : bool
        Whether changes that would help are tried, which takes longer than all else.

    Raises
    ------
    LimitError
        For a mixture that the client's answers refuse.

    Examples
    --------
    >>> seen = preview(Hair(7, "fine", damp=True), Mixture("base-break", 10), 5)
    >>> seen.stage, round(seen.p_too_warm, 2)
    ('yellow', 0.23)
    """
    curves = curves or default_curves()
    time = MINUTES.number(minutes)
    check_domain(hair, mixture, time, curves)
    asked = consulted or Consulted()
    asked.check(mixture, along)
    limit = limit_within(mixture, limit_minutes, curves)
    grid = time_grid(max(limit, time))
    times = np.append(grid, time)
    drawn = ensemble(hair, mixture, times, curves, members=members, seed=seed, latent=latent)
    goal = goal or usual_goal(mixture)
    target: Target | None = None
    passed: tuple[Passage, ...] = ()
    if isinstance(goal, Lighten) and goal.open:
        passed = passages(drawn.up_to(grid.size), limit, path_of(hair, curves))
    else:
        target = resolve_goal(goal, hair, curves)
        window = window or window_of(drawn.up_to(grid.size), target, limit)
    seen = drawn.central.pigmented[-1]
    return Preview(
        hair=hair,
        mixture=mixture,
        minutes=time,
        drawn=drawn,
        target=target,
        window=window,
        passages=passed,
        limit_minutes=limit,
        # Where only toning is wanted, no other way to lighten is better.
        advice=()
        if window is None or isinstance(goal, Tone) or not advised
        else advise(hair, mixture, window, curves, latent, Allowed(consulted=asked, along=along)),
        tone=tone_direction(seen, path_of(hair, curves).lab_of_lightness(seen[0]), curves),
        cautions=in_order(
            (
                *asked.notes,
                *overprocessed(hair, mixture, drawn.members.level[:, -1]),
                *_extrapolates(curves, hair, mixture, time, window),
                *cautions(mixture, time, hair, curves),
            )
        ),
        curves=curves,
    )


def _extrapolates(
    curves: CurveSet, hair: Hair, mixture: Mixture, minutes: float, window: Window | None
) -> tuple[Note, ...]:
    """Of the asked time and of the close that warmth makes, which is shown beside it."""
    shown = [minutes]
    if window is not None and window.closes is not None and window.closes_by == "warmth":
        shown.append(window.closes)
    return curves.extrapolations(hair, mixture, shown)
