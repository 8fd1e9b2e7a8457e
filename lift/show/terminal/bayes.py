"""Terminal output of posterior, calibration, next measurement and model criticism."""

from __future__ import annotations

import numpy as np
from rich.console import Console
from rich.table import Table

from lift.research.planning.next_swatch import ALIKE, QUANTITIES, NextPlan
from lift.research.posterior.bayes import Posterior
from lift.research.posterior.predictive import predictive
from lift.research.posterior.sbc import RankCheck
from lift.research.tuning.criticism import Criticism, support
from lift.show.terminal.foot import console, print_foot
from lift.words import known, say

MOST_ROWS = 10


def grid(*heads: str, right: tuple[str, ...] = ()) -> Table:
    """Empty table with plain heads, codes ``head.NAME``; those in `right` hold numbers."""
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for head in heads:
        table.add_column(say(f"head.{head}"), justify="right" if head in right else "left")
    return table


def print_posterior(found: Posterior, to: Console | None = None) -> None:
    """Print what was found of each parameter, how well, and whether the readings fit it."""
    to = to or console()
    numbers = ("before", "median", "error")
    table = grid("parameter", *numbers, "interval", "prior", "unit", "verdict", right=numbers)
    table.columns[4].header = say("tuning.interval", coverage=found.coverage)
    for b in found.beliefs:
        table.add_row(
            *(b.name, f"{b.before:.4g}", f"{b.value:.4g}", f"{b.standard_error:.2g}"),
            say("tuning.span", low=b.low, high=b.high),
            say("tuning.prior_span", low=b.prior_low, high=b.prior_high),
            *(b.unit, say(f"verdict.{b.verdict}")),
        )
    to.print(table)
    to.print(say("posterior.prior"))
    to.print(say("posterior.sampler", sampler=found.sampler), markup=False)
    inside = dict(zip("Lab", predictive(found).inside, strict=True))
    to.print(say("posterior.inside", **inside))


def print_calibration(found: RankCheck, to: Console | None = None) -> None:
    """Print the verdict of a simulation-based calibration."""
    to = to or console()
    table = grid("quantity", "flat_ranks", "intervals_hold", right=("flat_ranks",))
    for name, p, share in zip(found.names, found.p_values, found.coverage, strict=True):
        table.add_row(quantity_name(name), f"{p:.3f}", f"{100 * share:.1f} %")
    to.print(table)
    counts = {"laboratories": found.laboratories, "seed": found.seed}
    to.print(say("sbc.verdict", passed=found.passed, **counts))


def quantity_name(name: str) -> str:
    """Name of a calibrated quantity; a parameter's stands for itself."""
    return say(f"sbc.{name}") if known(f"sbc.{name}") else name


def print_plan(plan: NextPlan, to: Console | None = None) -> None:
    """Print what to measure next, and what else was weighed."""
    to = to or console()
    unit = QUANTITIES[plan.asked.quantity]
    to.print(say("next.width", asked=plan.asked.words, width=plan.width, unit=unit))
    numbers = ["level", "volume", "minutes", "width_then", "shrinks", "bits"]
    numbers += [] if plan.costs is None else ["cost"]
    table = grid("next", "mixture", *numbers, right=tuple(numbers))
    best = [
        (f"{i + 1}.", k, w)
        for i, (k, w) in enumerate(zip(plan.taken, plan.taken_widths, strict=True))
    ]
    others = [
        (say("next.or"), k, plan.widths[k]) for k in plan.order[:MOST_ROWS] if k not in plan.alike
    ]
    for label, k, width in (*best, *others):
        c = plan.choices[k]
        table.add_row(
            *(
                label,
                say("kind.said", kind=c.kind),
                f"{c.level:g}",
                f"{c.volume:g}",
                f"{c.minutes:g}",
                f"{width:.3g}",
            ),
            *(f"{100 * (1 - width / plan.width):.1f} %", f"{plan.bits[k]:.2f}"),
            *(() if plan.costs is None else (f"{plan.costs[k]:.4g}",)),
        )
    to.print(table)
    if len(plan.alike) > 1:
        same = [plan.choices[k] for k in plan.alike]
        told = {
            name: sorted({getattr(c, name) for c in same})
            for name in ("level", "volume", "minutes")
        }
        ends = {
            f"{end}_{n}": v[i] for n, v in told.items() for end, i in (("low", 0), ("high", -1))
        }
        to.print(say("next.alike", count=len(same), share=100 * ALIKE, **ends))
    if plan.costs is not None:
        to.print(say("next.costs", total=float(plan.costs[list(plan.taken)].sum())))
    to.print(say("next.read"))
    to.print(say("next.curves_only"))
    print_foot(to, plan.cautions, plan.curves)


def print_criticism(found: Criticism, to: Console | None = None) -> None:
    """Print the structures side by side, and what the data say."""
    to = to or console()
    numbers = ("free", "aicc", "above_best", "weight", "dE00", "unseen", "against_full")
    table = grid("structure", *numbers, "support", right=numbers)
    for i, t in enumerate(found.tried):
        mean, error = found.left_out_against(t.variant.name, found.tried[0].variant.name)
        table.add_row(
            *(str(t.variant.label), str(len(t.problem.free)), f"{t.aicc:.1f}"),
            *(f"{found.delta[i]:.1f}", f"{found.weights[i]:.2f}", f"{t.colour_error.mean():.2f}"),
            f"{np.nanmean(t.left_out):.2f}",
            f"{mean:+.2f} +- {error:.2f}" if i else "",
            say(f"support.{support(float(found.delta[i]))}"),
        )
    to.print(table)
    to.print(say("structures.columns"))
    for t in found.tried:
        to.print(f"  {t.variant.label}: {t.variant.words}", markup=False)
    for finding in found.findings:
        to.print(str(finding), markup=False)
