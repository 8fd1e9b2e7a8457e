"""Terminal output of posterior, calibration, next measurement and model criticism."""

from __future__ import annotations

import numpy as np
from rich.console import Console

from lift.research.planning.next_swatch import QUANTITIES, Plan
from lift.research.posterior.bayes import Posterior
from lift.research.posterior.predictive import predictive
from lift.research.posterior.sbc import Calibration
from lift.research.tuning.criticism import Criticism, support
from lift.show.terminal.preview import console, print_foot
from lift.show.terminal.research import grid

INVENTED = "INVENTED: nothing here is evidence about hair."
MOST_ROWS = 10


def print_posterior(found: Posterior, to: Console | None = None) -> None:
    """Print what was sampled, how well, and whether the readings lie where they should."""
    to = to or console()
    numbers = ("Median", "90 % interval", "before", "R-hat", "bulk", "tail")
    table = grid("Posterior", *numbers, "Unit", right=numbers)
    for b in found.beliefs:
        d = b.diagnostic
        table.add_row(
            b.name,
            f"{b.median:.4g}",
            f"{b.low:.4g} to {b.high:.4g}",
            f"{b.prior_low:.3g} to {b.prior_high:.3g}",
            f"{d.rhat:.3f}",
            f"{d.bulk:.0f}",
            f"{d.tail:.0f}",
            b.unit,
        )
    to.print(table)
    to.print("before: 90 % of the prior. bulk, tail: effective draws.")
    to.print(f"Sampler: {found.words}.", markup=False)
    inside = predictive(found).inside
    to.print(
        "Readings inside their 90 % band: "
        + ", ".join(f"{n} {100 * s:.0f} %" for n, s in zip(("L*", "a*", "b*"), inside, strict=True))
    )
    if found.model.problem.swatches.invented:
        to.print(INVENTED)
    if not found.converged:
        to.print("NOT CONVERGED: the chains do not agree yet; do not use these draws.")


def print_calibration(found: Calibration, to: Console | None = None) -> None:
    """Print the verdict of a simulation-based calibration."""
    to = to or console()
    table = grid("Quantity", "Flat ranks, p", "90 % intervals hold", right=("Flat ranks, p",))
    for name, p, share in zip(found.names, found.p_values, found.coverage, strict=True):
        table.add_row(name, f"{p:.3f}", f"{100 * share:.1f} %")
    to.print(table)
    words = "as wide as they say" if found.passed else "NOT as wide as they say"
    to.print(
        f"{found.laboratories} INVENTED laboratories, seed {found.seed}: intervals are {words} "
        "(p above 0.01 and 87 to 93 % wanted)."
    )


def print_plan(plan: Plan, to: Console | None = None) -> None:
    """Print what to measure next, and what else was weighed."""
    to = to or console()
    unit = QUANTITIES[plan.asked.quantity]
    to.print(f"90 % interval of the {plan.asked.words}: [bold]{plan.width:.3g}[/] {unit} wide now")
    numbers = ("Level", "Volume", "Minutes", "Width then", "Shrinks by", "Bits")
    table = grid("Next", "Mixture", *numbers, right=numbers)
    best = [
        (f"{i + 1}.", k, w)
        for i, (k, w) in enumerate(zip(plan.taken, plan.taken_widths, strict=True))
    ]
    others = [("or", k, plan.widths[k]) for k in plan.order[:MOST_ROWS] if k not in plan.taken[:1]]
    for label, k, width in (*best, *others):
        c = plan.choices[k]
        table.add_row(
            label,
            c.kind,
            f"{c.level:g}",
            f"{c.volume:g}",
            f"{c.minutes:g}",
            f"{width:.3g}",
            f"{100 * (1 - width / plan.width):.1f} %",
            f"{plan.bits[k]:.2f}",
        )
    to.print(table)
    to.print("Read each swatch at 0 min and at its time. Bits: about all sampled parameters.")
    to.print("The width is that of the curves; strands differ besides, which no swatch takes away.")
    print_foot(to, plan.cautions, plan.curves.name, plan.curves.standing)


def print_criticism(found: Criticism, to: Console | None = None) -> None:
    """Print the structures side by side, and what the data say."""
    to = to or console()
    numbers = ("Free", "AICc", "above best", "weight", "dE00", "left out", "against full")
    table = grid("Structure", *numbers, "Support", right=numbers)
    for i, t in enumerate(found.tried):
        mean, error = found.left_out_against(t.variant.name, found.tried[0].variant.name)
        table.add_row(
            t.variant.name,
            str(len(t.problem.free)),
            f"{t.aicc:.1f}",
            f"{found.delta[i]:.1f}",
            f"{found.weights[i]:.2f}",
            f"{t.colour_error.mean():.2f}",
            f"{np.nanmean(t.left_out):.2f}",
            f"{mean:+.2f} +- {error:.2f}" if i else "",
            support(float(found.delta[i])),
        )
    to.print(table)
    to.print("dE00: fit against reading. left out: swatches the fit has not seen.")
    for t in found.tried:
        to.print(f"  {t.variant.name}: {t.variant.words}", markup=False)
    for line in found.findings:
        to.print(line, markup=False)
