"""Terminal output for the researcher: swatch files, tunings and curve sets."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from rich.console import Console
from rich.table import Table
from rich.text import Text

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.research.swatches.columns import Column
from lift.research.swatches.swatch_file import SwatchFile
from lift.research.tuning.curve_files import COMPARED, MINUTES, Comparison
from lift.research.tuning.tune import Tuning
from lift.research.tuning.tune_report import findings, strong
from lift.show.terminal.preview import console, facts


def grid(*heads: str, right: tuple[str, ...] = ()) -> Table:
    """Empty table with plain heads; those in `right` hold numbers."""
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for head in heads:
        table.add_column(head, justify="right" if head in right else "left")
    return table


def print_check(found: SwatchFile, to: Console | None = None) -> None:
    """Print what was found in a swatch file: every bad row, or what it holds."""
    to = to or console()
    if found.faults:
        table = grid(found.unit.capitalize(), "Column", "Value", "Reason", right=("Line", "Object"))
        for fault in found.faults:
            table.add_row(str(fault.line), *map(Text, (fault.column, fault.value, fault.reason)))
        to.print(table)
        rows = len({f.line for f in found.faults})
        to.print(
            f"{found.path}: {len(found.faults)} faults in {rows} of {found.rows} rows; nothing "
            "was read.",
            markup=False,
        )
        return
    swatches = found.swatches
    if swatches is not None:
        table = facts()
        table.add_row("Readings", f"{len(swatches)} of {len(swatches.names)} swatches")
        table.add_row("Mixtures", ", ".join(dict.fromkeys(swatches.kind)))
        for name, values, unit in (
            ("Strength", swatches.volume, "vol"),
            ("Times", swatches.minutes, "min"),
            ("L*", swatches.lab[:, 0], ""),
        ):
            table.add_row(name, f"{np.min(values):.4g} to {np.max(values):.4g} {unit}".rstrip())
        table.add_row("Colours", f"{swatches.illuminant}, {swatches.observer} degrees")
        table.add_row("sha256", swatches.sha256)
        to.print(table)
    for remark in found.remarks:
        to.print(f"  Note: {remark}", markup=False)
    to.print(f"{found.path}: nothing wrong.", markup=False)


def print_columns(columns: Iterable[Column], to: Console | None = None) -> None:
    """Print what each column of a swatch file holds."""
    to = to or console()
    table = grid("Column", "Meaning", "Unit", "Range", "When empty")
    for c in columns:
        span = f"{c.low:g} to {c.high:g}" if c.high > c.low else ""
        table.add_row(c.name, c.meaning, c.unit, span, "required" if c.empty is None else c.empty)
    to.print(table)
    to.print("Colours: L, a, b, or reflectance at each wavelength in columns named R400, R410, ...")


def print_tuning(tuning: Tuning, to: Console | None = None) -> None:
    """Print a tuning: parameters, misfit, unseen swatches, and what to beware of."""
    to = to or console()
    table = tuning.problem.swatches
    to.print(
        f"[bold]{len(tuning.problem.free)} parameters[/] fitted to {len(table)} readings of "
        f"{len(table.names)} swatches"
    )
    share = f"{tuning.coverage:.0%} interval"
    rows = grid(
        *("Parameter", "Before", "Tuned", "Error", "Jackknife", share, "Unit", "Verdict"),
        right=("Before", "Tuned", "Error", "Jackknife"),
    )
    for e in tuning.estimates:
        rows.add_row(
            *(e.name, f"{e.before:.4g}", f"{e.value:.4g}", error_words(e.standard_error)),
            *(error_words(e.jackknife_error), f"{e.low:.4g} to {e.high:.4g}", e.unit, e.verdict),
        )
    to.print(rows)
    for tie in tuning.problem.ties:
        to.print(f"{tie.name} = {tie.factor:g} * {tie.other}", markup=False)
    said = facts()
    said.add_row("Converged", f"{'yes' if tuning.converged else 'NO'}: {tuning.fit.message}")
    said.add_row("Starts", f"{tuning.agreed} of {tuning.tried} ended at the least misfit")
    said.add_row("Misfit", f"{_difference(tuning.difference)}; before {_mean(tuning)}")
    said.add_row("Scatter", f"{tuning.problem.scatter_scale:.2f} times the expected")
    if tuning.spread is not None:
        said.add_row("Rates", f"swatches differ by {tuning.spread:.1%} (standard deviation)")
    said.add_row("AICc", f"{tuning.aicc:.2f} (only differences count)")
    if tuning.held_out is not None:
        said.add_row("Left out", f"{_difference(tuning.held_out.tuned)}")
        said.add_row("", f"shipped set: {_difference(tuning.held_out.default)}")
    together = ", ".join(f"{a} and {b} {r:+.2f}" for a, b, r in strong(tuning)) or "none"
    said.add_row("Correlated", f"beyond 0.95: {together}")
    worst = np.argsort(-tuning.per_swatch(tuning.difference))[:3]
    means = tuning.per_swatch(tuning.difference)
    words = ", ".join(f"{table.names[i]} {means[i]:.2f}" for i in worst)
    said.add_row("Worst fitted", Text(words))
    to.print(said)
    for line in findings(tuning):
        to.print(f"  ! {line}", markup=False)


def error_words(error: float | None) -> str:
    """Two digits of an error; a dash when there is none."""
    return "-" if error is None or not np.isfinite(error) else f"{error:.2g}"


def _difference(values: Floats) -> str:
    return f"mean dE00 {values.mean():.2f}, largest {values.max():.2f}"


def _mean(tuning: Tuning) -> str:
    return f"{tuning.difference_before.mean():.2f}"


def print_curves(curves: CurveSet, to: Console | None = None) -> None:
    """Print every parameter of a curve set, and where the set comes from."""
    to = to or console()
    to.print(Text.assemble((f"Curve set {curves.name}", "bold"), f": {curves.standing}"))
    table = grid(*("Parameter", "Value", "Unit", "Range", "Status", "Source"), right=("Value",))
    for p in curves.parameters:
        table.add_row(
            *(p.name, f"{p.value:.5g}", p.unit, f"{p.low:g} to {p.high:g}"),
            *(p.status, Text(p.source)),
        )
    to.print(table)
    said = facts()
    for key, text in curves.provenance:
        said.add_row(Text(key.replace("_", " ")), Text(text))
    if curves.validity is not None:
        said.add_row("holds for", ", ".join(curves.validity.mixtures))
        for name, low, high in curves.validity.spans:
            said.add_row("", f"{name} {low:.4g} to {high:.4g}")
    to.print(said)


def print_comparison(comparison: Comparison, to: Console | None = None) -> None:
    """Print where two curve sets differ, in numbers and in what they predict."""
    to = to or console()
    first, second = comparison.first, comparison.second
    to.print(f"First: {first.name}, {first.standing}.", markup=False)
    to.print(f"Second: {second.name}, {second.standing}.", markup=False)
    if not comparison.changed:
        to.print("No parameter differs.")
        return
    table = grid("Parameter", "First", "Second", "Unit", "Status", right=("First", "Second"))
    for a, b in comparison.changed:
        status = a.status if a.status == b.status else f"{a.status}, {b.status}"
        table.add_row(a.name, f"{a.value:.5g}", f"{b.value:.5g}", a.unit, status)
    to.print(table)
    heads = ("Strand", "Lift, levels", "Warmth, dC*", "Largest dE00", "at min")
    table = grid(*heads, right=heads[1:])
    for (hair, mixture), (one, two), off in zip(
        COMPARED, comparison.trajectories, comparison.differences(), strict=True
    ):
        table.add_row(
            f"level {hair.level:g}, {mixture.kind} {mixture.volume:g} vol",
            f"{one.lift[-1]:.1f} / {two.lift[-1]:.1f}",
            f"{one.warmth[-1]:.1f} / {two.warmth[-1]:.1f}",
            f"{off.max():.1f}",
            f"{MINUTES[np.argmax(off)]:.0f}",
        )
    to.print(table)
    to.print(f"Lift and warmth after {MINUTES[-1]:.0f} min, first / second.")
