"""``lift swatches make`` and ``lift swatches check``."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from lift.cli import options
from lift.errors import LiftError, check_number


@click.group("swatches", short_help="Check swatch files, or invent a laboratory.")
def command() -> None:
    """Check a file of measured swatches, or invent a laboratory to try things on."""


@command.command("make")
@click.option("-o", "--output", metavar="FILE", required=True, help="Write here: .csv or .cxf.")
@click.option("--swatches", metavar="N", default="12", show_default=True, help="1 to 500.")
@click.option("--minutes", metavar="MIN,...", default="0,5,10,20,35,50", show_default=True)
@click.option("--volumes", metavar="VOL,...", default="10,20,30,40", show_default=True)
@click.option("--mixtures", metavar="KIND,...", default="cream,powder", show_default=True)
@click.option("--levels", metavar="LOW,HIGH", default="2,8", show_default=True)
@click.option("--repeats", metavar="N", default="3", show_default=True, help="Readings averaged.")
@click.option("--rate-spread", metavar="SD", help="Of rates between swatches; the curve set's.")
@click.option("--seed", metavar="N", default="1", show_default=True)
@options.curves_option
def make(
    output: str,
    swatches: str,
    minutes: str,
    volumes: str,
    mixtures: str,
    levels: str,
    repeats: str,
    rate_spread: str | None,
    seed: str,
    curves_file: str | None,
) -> None:
    """Invent a laboratory: swatches of a curve set with the scatter of real ones.

    The file says in its first line that nothing in it was measured.
    """
    from lift.research.swatches.generate import design, synthetic_laboratory
    from lift.research.swatches.swatch_file import write_swatches

    if Path(output).suffix.lower() not in (".csv", ".cxf"):
        raise LiftError(f"swatch file {output!r} does not end in .csv or .cxf")
    low, high = _pair(levels)
    laid_out = design(
        int(check_number("number of swatches", swatches, 1, 500)),
        minutes=_numbers("processing time", minutes, 0.0, 120.0, "min"),
        volumes=_numbers("developer volume", volumes, 0.0, 100.0, "vol"),
        kinds=[kind.strip() for kind in mixtures.split(",")],
        levels=(low, high),
        repeats=int(check_number("repeats", repeats, 1, 1000)),
    )
    laboratory = synthetic_laboratory(
        laid_out,
        options.read_curves(curves_file),
        seed=int(check_number("seed", seed, 0, 2**32 - 1)),
        rate_spread=options.number("spread of the rate", rate_spread, 0.0, 1.0),
    )
    table = laboratory.swatches
    write_swatches(table, output)
    click.echo(f"{output}: {len(table)} INVENTED readings of {len(table.names)} swatches")


@command.command("check")
@click.argument("file", metavar="FILE")
@click.option("--conditions", metavar="FILE", help="Conditions of a CxF file's objects (CSV).")
@options.mixtures_option
@options.json_option
def check(file: str, conditions: str | None, as_json: bool) -> None:
    """Name every bad row of a swatch file: line, column, value and reason."""
    from lift.research.swatches.swatch_file import check_swatches

    found = check_swatches(file, conditions, options.known_mixtures())
    if as_json:
        options.print_json(
            {
                "file": found.path,
                "rows": found.rows,
                "faults": [
                    {found.unit: f.line, "column": f.column, "value": f.value, "reason": f.reason}
                    for f in found.faults
                ],
                "remarks": list(found.remarks),
            }
        )
    else:
        from lift.show.terminal.research import print_check

        print_check(found)
    if found.faults:
        sys.exit(2)


@command.command("columns")
def columns() -> None:
    """List the columns of a swatch file."""
    from lift.research.swatches.columns import COLOURS, CONDITIONS, REFLECTANCE
    from lift.show.terminal.research import print_columns

    print_columns((*CONDITIONS, *COLOURS, REFLECTANCE))


def _numbers(name: str, text: str, low: float, high: float, unit: str) -> list[float]:
    return [check_number(name, part.strip(), low, high, unit) for part in text.split(",")]


def _pair(text: str) -> tuple[float, float]:
    found = _numbers("natural level", text, 1.0, 10.0, "")
    if len(found) != 2 or found[0] > found[1]:
        raise LiftError(f"levels {text!r} are not LOW,HIGH as in 2,8")
    return found[0], found[1]
