"""Terminal output for the researcher: swatch files, tunings and curve sets."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from rich.console import Console
from rich.table import Table
from rich.text import Text

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.trajectory import Trajectory
from lift.model.validity import SPANS
from lift.practice.cautions import UNMIXED
from lift.research.posterior.settings import AXES
from lift.research.swatches.columns import TEXT, Column
from lift.research.swatches.swatch_file import SwatchFile
from lift.research.swatches.workbook import explained
from lift.research.tuning.curve_files import COMPARED, Comparison
from lift.research.tuning.findings import STRONG, findings, strong
from lift.research.tuning.tune import Tuning
from lift.show.said import lift_note
from lift.show.terminal.bayes import grid, print_posterior
from lift.show.terminal.foot import console, facts, print_foot
from lift.show.terminal.influence import print_influence
from lift.words import Note, note, say


def _lift(strand: Trajectory) -> Note:
    lift, level = float(strand.lift[-1]), float(strand.level[-1])
    return lift_note(lift, level, level - lift)


KEYS = ("value", "low", "high")


def _fact(table: Table, code: str, said: object) -> None:
    table.add_row(say(f"head.{code}"), said if isinstance(said, Text) else str(said))


def print_check(found: SwatchFile, to: Console | None = None) -> None:
    """Print what was found in a swatch file: every bad row, or what it holds."""
    to = to or console()
    for told in found.told:
        to.print(say("swatches.told", told=told), markup=False)
    if found.faults:
        table = grid(found.unit, "column", "value", "reason", right=("line", "object"))
        for fault in found.faults:
            table.add_row(
                str(fault.line), *map(Text, (fault.column, fault.value, str(fault.reason)))
            )
        to.print(table)
        counts = {"faults": len(found.faults), "bad": len({f.line for f in found.faults})}
        to.print(say("swatches.faults", path=found.path, rows=found.rows, **counts), markup=False)
        return
    swatches = found.swatches
    if swatches is not None:
        table = facts()
        counts = {"readings": len(swatches), "swatches": len(swatches.names)}
        _fact(table, "readings", say("provenance.readings", **counts))
        _fact(table, "mixtures", say("mixtures", names=dict.fromkeys(swatches.kind)))
        for code, values, unit in (
            ("strength", swatches.volume, "vol"),
            ("times", swatches.minutes, "min"),
            ("lightness", swatches.lab[:, 0], ""),
        ):
            span = say("swatches.span", low=np.min(values), high=np.max(values))
            _fact(table, code, f"{span} {unit}".rstrip())
        light = {"illuminant": swatches.illuminant, "observer": swatches.observer}
        _fact(table, "colours", say("swatches.light", **light))
        _fact(table, "sha256", swatches.sha256)
        to.print(table)
    for remark in found.remarks:
        to.print(say("swatches.remark", remark=remark), markup=False)
    for doubt in found.doubts:
        to.print(say("swatches.doubt", doubt=doubt), markup=False)
    fine = "swatches.doubted" if found.doubts else "swatches.fine"
    to.print(say(fine, path=found.path), markup=False)


def print_columns(columns: Iterable[Column], to: Console | None = None) -> None:
    """Print what each column of a swatch file holds."""
    to = to or console()
    table = grid("column", "meaning", "unit", "range", "when_empty")
    for c in columns:
        name, meaning, unit, span, empty = map(str, explained(c))
        table.add_row(name, meaning, _unit(unit), span, empty)
    to.print(table)
    to.print(say("swatches.colours"))


def _unit(unit: str) -> str:
    return say("column.words") if unit == TEXT else unit


def _status(status: str) -> str:
    return say("status.said", status=status)


def print_tuning(tuning: Tuning, to: Console | None = None) -> None:
    """Print a tuning: parameters, misfit, unseen swatches, and what to beware of."""
    to = to or console()
    table = tuning.problem.swatches
    counts = {"readings": len(table), "swatches": len(table.names)}
    to.print(say("tuning.title", parameters=len(tuning.problem.free), **counts))
    print_posterior(tuning.posterior, to)
    for tie in tuning.problem.ties:
        to.print(f"{tie.name} = {tie.factor:g} * {tie.other}", markup=False)
    said = facts()
    _fact(said, "converged", say("provenance.converged", converged=tuning.converged))
    _fact(said, "starts", say("tuning.starts", agreed=tuning.agreed, tried=tuning.tried))
    before = say("tuning.before", mean=tuning.difference_before.mean())
    _fact(said, "misfit", _difference(tuning.difference) + before)
    _fact(said, "scatter", say("tuning.scatter", scale=tuning.scatter_scale))
    if tuning.spread is not None:
        _fact(said, "rates", say("tuning.rates", spread=tuning.spread))
    _fact(said, "aicc", say("tuning.aicc", aicc=tuning.aicc))
    if tuning.held_out is not None:
        _fact(said, "left_out", _difference(tuning.held_out.tuned))
        said.add_row("", say("tuning.shipped", said=_difference(tuning.held_out.default)))
    pairs = [say("tuning.pair", first=a, second=b, r=r) for a, b, r in strong(tuning)]
    _fact(said, "correlated", say("tuning.pairs", limit=STRONG, pairs=pairs or [say("none")]))
    means = tuning.per_swatch(tuning.difference)
    worst = [f"{table.names[i]} {means[i]:.2f}" for i in np.argsort(-means)[:3]]
    _fact(said, "worst", Text(say("provenance.names", names=worst)))
    to.print(said)
    _print_settings(tuning, to)
    print_influence(tuning, to)
    for finding in findings(tuning):
        to.print(f"  ! {finding}", markup=False)


def _print_settings(tuning: Tuning, to: Console) -> None:
    """Pace and scale of colour of those who measured, where several are told apart."""
    told = {belief.name: belief for belief in tuning.posterior.settings}
    if not told:
        return
    to.print(say("tuning.settings"))
    settings = tuning.problem.told_apart
    table = grid("setting", "pace", "dL", "da", "db", right=("pace", "dL", "da", "db"))
    for name in dict.fromkeys((*settings.hands, *settings.eyes)):
        rate = told.get(f"rate: {name}")
        ends = () if rate is None else np.exp([rate.value, rate.low, rate.high])
        scales = (told.get(f"{axis}: {name}") for axis in AXES[1:])
        table.add_row(
            Text(name or say("none")),
            "" if rate is None else say("tuning.pace", **dict(zip(KEYS, ends, strict=True))),
            *(
                "" if b is None else say("tuning.scale", value=b.value, low=b.low, high=b.high)
                for b in scales
            ),
        )
    to.print(table)


def _difference(values: Floats) -> str:
    return say("tuning.difference", mean=values.mean(), largest=values.max())


def print_curves(curves: CurveSet, to: Console | None = None) -> None:
    """Print every parameter of a curve set, and where the set comes from."""
    to = to or console()
    to.print(Text.assemble((say("curves.name", name=curves.name), "bold"), f": {curves.standing}"))
    table = grid("parameter", "number", "unit", "range", "status", "source", right=("number",))
    for p in curves.parameters:
        span = say("swatches.range", low=p.low, high=p.high)
        table.add_row(p.name, f"{p.value:.5g}", p.unit, span, _status(p.status), Text(p.source))
    to.print(table)
    said = facts()
    _fact(said, "seal", curves.seal or say("curves.no_seal"))
    for key, text in curves.provenance:
        said.add_row(Text(key.replace("_", " ")), Text(text))
    if curves.validity is not None:
        names = say("mixtures", names=curves.validity.mixtures)
        _fact(said, "holds_for", names)
        for name, low, high in curves.validity.spans:
            what = note(f"extrapolates.{name}")
            line = say("validity.span", low=low, high=high, what=what, unit=SPANS[name])
            said.add_row("", line)
        for kind, minutes in curves.validity.longest:
            said.add_row("", say("validity.longest_of", kind=kind, minutes=minutes))
    to.print(said)
    print_foot(to, UNMIXED)


def print_comparison(comparison: Comparison, to: Console | None = None) -> None:
    """Print where two curve sets differ, in numbers and in what they predict."""
    to = to or console()
    for code, curves in (("first", comparison.first), ("second", comparison.second)):
        said = say(f"curves.{code}", name=curves.name, standing=curves.standing)
        to.print(said, markup=False)
    if not comparison.changed:
        to.print(say("curves.same"))
        return
    values = ("first", "second", "by")
    table = grid("parameter", *values, "unit", "status", right=values)
    for each in comparison.changed:
        a, b = each.first, each.second
        status = say("statuses", names=dict.fromkeys((a.status, b.status)))
        first, second, by = (
            say("curves.with_sd", value=value, sd=sd) if sd else f"{value:.4g}"
            for value, sd in (
                (a.value, each.first_sd),
                (b.value, each.second_sd),
                (each.by, each.sd),
            )
        )
        table.add_row(a.name, first, second, by, a.unit, status)
    to.print(table)
    numbers = ("lift", "warmth", "largest", "at_minutes", "dL", "da", "db")
    table = grid("strand", *numbers, right=numbers)
    for (hair, mixture), (one, two), off, apart in zip(
        COMPARED,
        comparison.trajectories,
        comparison.differences(),
        comparison.apart,
        strict=True,
    ):
        strand = {"level": hair.level, "kind": mixture.kind, "volume": mixture.volume}
        table.add_row(
            say("curves.strand", **strand),
            say("curves.lifts", first=_lift(one), second=_lift(two)),
            f"{one.warmth[-1]:.1f} / {two.warmth[-1]:.1f}",
            f"{off.max():.1f}",
            f"{one.minutes[np.argmax(off)]:.0f}",
            *(
                say("curves.apart", low=low, high=high) if np.isfinite(low) else ""
                for low, _, high in apart.T
            ),
        )
    to.print(table)
    ends = [f"{one.minutes[-1]:g}" for one, _ in comparison.trajectories]
    to.print(say("curves.foot", times=ends))
    print_foot(to, UNMIXED)
