"""Checks of what is chosen against rules of thumb: no sources, so agreement is plausibility."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any

import numpy as np

from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.practice.allowed import Allowed
from lift.practice.choosing.options import Option, best_options
from lift.practice.goal import Blend, Goal, Lighten
from lift.practice.window import find_window
from lift.reference import load
from lift.research.evidence.checks import PRACTICE, Check, check

REGROWTH = Hair(level=7.0, fibre_um="fine", damp=True)
DARKER = REGROWTH.replace(level=5.5)
GREYER = REGROWTH.replace(grey_percent=35.0)
DARK_BLOND = Hair(level=6.0)

UP_TO_20 = Allowed(("powder",), max_volume=20.0)

LEVEL_9 = Lighten(9.0, warmth=20.0)
"""A goal that hair stays inside for long: a level, and no more than a warmth [dC*]."""

AS_GOOD = 0.97
"""Share of the best chance that is as good: the table says so."""

LATE = 1.0
"""How late a rinse may come [min]: the table says so."""


@dataclass(frozen=True)
class Rule:
    """A row of ``reference/trade_choices.csv``: the range of its figure, and its use."""

    code: str
    low: float
    high: float
    use: str

    def check(self, figure: float, also: bool = True, **told: Any) -> Check:
        """Compare; `also` is what else has to hold."""
        high = np.inf if np.isnan(self.high) else self.high
        ends = {"low": self.low, "high": self.high, "figure": figure}
        passed = also and self.low <= figure <= high
        return check(
            self.code, PRACTICE, passed, fitted=self.use in ("fitted", "built-in"), **ends, **told
        )


def rules() -> dict[str, Rule]:
    """Rows of ``reference/trade_choices.csv`` by their name."""
    table = load("trade_choices")
    rows = zip(table.words("id"), table.numbers("low", "high"), table.words("use"), strict=True)
    return {name: Rule(name, float(low), float(high), use) for name, (low, high), use in rows}


def choosing_checks(curves: CurveSet) -> Iterator[Check]:
    """Every row of ``reference/trade_choices.csv``."""
    rule = rules()
    yield from _regrowth(rule, curves)
    yield from _pale_yellow(rule, curves)
    yield _soonest(rule["chosen_soonest"], curves)


def _options(
    hair: Hair, goal: Goal, curves: CurveSet, allowed: Allowed | None = None
) -> tuple[Option, ...]:
    return best_options(hair, goal, curves, allowed=allowed).options


def _regrowth(rule: Mapping[str, Rule], curves: CurveSet) -> Iterator[Check]:
    """What keeps softened regrowth natural."""
    options, darker, greyer = (
        _options(hair, Blend(), curves) for hair in (REGROWTH, DARKER, GREYER)
    )
    first = _told(options)
    soft = first["mixture"] == "base-break"
    volume, best = first.pop("volume"), first.pop("best")
    yield rule["chosen_volume"].check(volume, soft, **first)
    yield rule["chosen_minutes"].check(best, soft, **first)
    dark, light = (_told(each)["carried"] for each in (darker, options))
    yield rule["chosen_tone"].check(dark - light, dark=dark, light=light)
    pairs = zip_longest(options, greyer)
    differ = sum(_told([a] if a else []) != _told([b] if b else []) for a, b in pairs)
    yield rule["chosen_grey"].check(differ, grey=GREYER.grey_percent)
    powder = len(_of(options, persulfate=True))
    yield rule["chosen_scalp"].check(powder, options=len(options))


def _pale_yellow(rule: Mapping[str, Rule], curves: CurveSet) -> Iterator[Check]:
    """Three levels to pale yellow, with persulfate and without."""
    options = _options(DARK_BLOND, Lighten(stage="pale yellow"), curves)
    mine, other = (_of(options, persulfate=has) for has in (True, False))
    best, without = (_told(sorted(each, key=lambda o: -o.p_inside)) for each in (mine, other))
    lead = best["chance"] - without["chance"]
    first = options[:1] == tuple(mine[:1])
    told = {"with_powder": best["chance"], "without": without["chance"]}
    yield rule["chosen_powder"].check(lead, first, **told)
    chance = without.pop("chance")
    yield rule["chosen_cream"].check(chance, **without)


def _soonest(rule: Rule, curves: CurveSet) -> Check:
    """The time that is told, against the soonest that is as good, read off the window."""
    options = _options(DARK_BLOND, LEVEL_9, curves, UP_TO_20)
    told = _told(options)
    mixture = options[0].mixture if options else None
    if mixture is None:
        return rule.check(np.nan, **told)
    usual = mixture.chemistry.bound("minutes").usual_high
    window = find_window(DARK_BLOND, mixture, LEVEL_9, curves, limit_minutes=usual)
    minutes, p = window.minutes, window.p_inside
    met = np.minimum(p, np.interp(minutes + LATE, minutes, p))
    good = minutes[met >= AS_GOOD * met.max()]
    return rule.check(told["best"] - float(good[0]), **told)


def _of(options: Sequence[Option], *, persulfate: bool) -> list[Option]:
    """Those with persulfate, or those without."""
    oxidants = ["" if o.mixture is None else o.mixture.chemistry.oxidant for o in options]
    return [
        o for o, of in zip(options, oxidants, strict=True) if (of == "persulfate") == persulfate
    ]


def _told(options: Sequence[Option]) -> dict[str, Any]:
    """What the first of some options comes to; nothing, when there is none."""
    for first in options:
        return {
            "mixture": "" if first.mixture is None else first.mixture.kind,
            "volume": 0.0 if first.developer is None else first.developer.volume,
            "carried": sum(first.tone.values()),
            "best": first.best,
            "until": first.rinse_until,
            "chance": first.p_inside,
        }
    none = dict.fromkeys(("volume", "best", "until"), np.nan)
    return {"mixture": "", "carried": 0.0, "chance": 0.0, **none}
