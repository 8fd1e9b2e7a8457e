"""Preview: the main job in one call."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.model.curves import CurveSet, default_curves
from lift.model.ensemble import MEMBERS, SEED, Ensemble, ensemble, expected_strand
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.advice import Advice, advise
from lift.practice.cautions import cautions
from lift.practice.goal import Goal, resolve_goal
from lift.practice.tone import ToneDirection, tone_direction
from lift.practice.window import LIMIT_MINUTES, Window, time_grid, window_of
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
        What answers the warmth at that time.
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
    def stage(self) -> str:
        """Stage of the expected strand's underpigment at that time."""
        return str(self.drawn.central.stage[-1])

    def band_at(self, quantity: str) -> tuple[Any, Any, Any]:
        """Low, median and high of a quantity at the asked time."""
        return self.drawn.band(quantity, at=-1)

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form; every number in the unit of the design's vocabulary."""
        low, median, high = self.drawn.band("lab")
        warm_low, warm, warm_high = self.drawn.band("warmth")
        level = self.drawn.band("level")
        lift = self.drawn.band("lift")
        central = self.drawn.central
        # The last column is the asked time, out of order: the curve is all before it.
        curve = slice(0, -1)
        p_curve = self.drawn.probability_too_warm(self.window.target.warmth_limit)
        return {
            "inputs": self._inputs(),
            "at": {
                "minutes": self.minutes,
                "lab": {
                    "median": rounded(median[-1]),
                    "low": rounded(low[-1]),
                    "high": rounded(high[-1]),
                },
                "level": {k: rounded(v[-1]) for k, v in zip(_BAND, level, strict=True)},
                "lift": {k: rounded(v[-1]) for k, v in zip(_BAND, lift, strict=True)},
                "stage": self.stage,
                "warmth": {
                    "median": rounded(warm[-1]),
                    "low": rounded(warm_low[-1]),
                    "high": rounded(warm_high[-1]),
                },
                "hue_deg": rounded(central.hue_deg[-1]),
                "p_too_warm": rounded(self.p_too_warm),
            },
            "curve": {
                "minutes": rounded(central.minutes[curve]),
                "lab": rounded(median[curve]),
                "level": rounded(level[1][curve]),
                "warmth": rounded(warm[curve]),
                "warmth_low": rounded(warm_low[curve]),
                "warmth_high": rounded(warm_high[curve]),
                "p_too_warm": rounded(p_curve[curve]),
            },
            "window": window_to_dict(self.window, self.advice),
            "tone": tone_to_dict(self.tone),
            "cautions": list(map(str, self.cautions)),
            "curve_set": {
                **self.curves.to_dict(),
                "extrapolates": list(map(str, self.extrapolates)),
            },
        }

    @property
    def extrapolates(self) -> tuple[Note, ...]:
        """What lies outside the conditions that the curve set was tuned to."""
        return _extrapolates(self.curves, self.hair, self.mixture, self.minutes, self.window)

    def _inputs(self) -> dict[str, Any]:
        hair, mixture = self.hair, self.mixture
        properties = mixture.properties(self.curves.values)
        share = hair.pheomelanin_share
        return {
            "level": hair.level,
            "fibre_um": hair.fibre_um,
            "damp": bool(hair.damp),
            "grey_percent": hair.grey_percent,
            "pheomelanin_share": self.curves.values["pheomelanin_share"]
            if share is None
            else share,
            "lightened_to": hair.lightened_to,
            "mixture": mixture.kind,
            "volume": mixture.developer_volume,
            "developer_parts": mixture.developer_parts,
            "on_head_volume": float(mixture.on_head_volume),
            "ph": properties["ph"],
            "temperature_c": mixture.temperature_c,
            "tone": {k: float(v) for k, v in properties["tone"].items()},
            "minutes": self.minutes,
            "goal": self.window.target.words,
            "goal_level": rounded(self.window.target.level),
            "warmth_limit": rounded(self.window.target.warmth_limit),
        }


_BAND = ("low", "median", "high")


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
        Processing time [min], 0 to 120.
    goal : Goal, optional
        Default: any visible lift within the curve set's warmth allowance.
    members, seed : int
        Size and seed of the ensemble.
    limit_minutes : float
        Longest time considered for the window [min].
    latent : array_like, optional
        Deviates to use in place of a draw (a strand test's posterior), shape (members, 4).

    Examples
    --------
    >>> seen = preview(Hair(7, "fine", damp=True), Mixture("base-break", 10), 5)
    >>> seen.stage, round(seen.p_too_warm, 2)
    ('yellow-orange', 0.12)
    """
    curves = curves or default_curves()
    time = MINUTES.number(minutes)
    grid = time_grid(max(limit_minutes, time))
    times = np.append(grid, time)
    drawn = ensemble(hair, mixture, times, curves, members=members, seed=seed, latent=latent)
    target = resolve_goal(goal, hair, curves)
    window = window_of(drawn.up_to(grid.size), target, limit_minutes)
    strand, own = (hair, curves) if latent is None else expected_strand(hair, curves, latent)
    return Preview(
        hair=hair,
        mixture=mixture,
        minutes=time,
        drawn=drawn,
        window=window,
        advice=advise(strand, mixture, window, own),
        tone=tone_direction(drawn.central.lab[-1], None, curves),
        cautions=(
            *_extrapolates(curves, hair, mixture, time, window),
            *cautions(mixture, time, hair),
        ),
        curves=curves,
    )


def _extrapolates(
    curves: CurveSet, hair: Hair, mixture: Mixture, minutes: float, window: Window
) -> tuple[Note, ...]:
    """Of the asked time and, where there is a window, of its close, which is shown beside it."""
    shown = [minutes] if window.closes is None else [minutes, window.closes]
    return curves.extrapolations(hair, mixture, shown)


# These go when every room has an answer of its own in lift/answers.


def window_to_dict(window: Window, advice: tuple[Advice, ...]) -> dict[str, Any]:
    """JSON form of a window and the advice that goes with it."""
    return {
        "opens": rounded(window.opens),
        "closes": rounded(window.closes),
        "closes_by": window.closes_by,
        "opens_range": _finite_pair(window.opens_range),
        "closes_range": _finite_pair(window.closes_range),
        "reached_at": rounded(window.reached_at),
        "too_warm_at": rounded(window.too_warm_at),
        "best_minutes": window.best_minutes,
        "p_best": rounded(window.p_best),
        "goal": window.target.words,
        "warmth_limit": rounded(window.target.warmth_limit),
        "advice": [a.text for a in advice],
    }


def tone_to_dict(tone: ToneDirection) -> dict[str, Any]:
    """JSON form of one tone direction."""
    return {
        "hue_deg": rounded(tone.hue_deg),
        "munsell": str(tone.munsell),
        "wheel": str(tone.wheel),
        "amount": rounded(tone.amount),
        "needed": bool(tone.needed),
        "excess": str(tone.excess_wheel),
        "change": rounded(tone.change),
    }


def _finite_pair(pair: tuple[float, float]) -> list[float | None]:
    return [round(v, 4) if np.isfinite(v) else None for v in pair]


def rounded(value: ArrayLike | None) -> Any:
    """Round to four decimals."""
    if value is None:
        return None
    rounded = np.round(np.asarray(value, dtype=np.float64), 4)
    return float(rounded) if rounded.ndim == 0 else rounded.tolist()
