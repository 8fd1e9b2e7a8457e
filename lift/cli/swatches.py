"""``lift swatches plan``, ``template``, ``make``, ``check`` and ``columns``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from lift.cli import options, strand_options
from lift.errors import LiftError, check_number
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.quantities import MINUTES, check_seed, quantities_of
from lift.words import say

MIXTURE = quantities_of(Mixture)


@options.group("swatches")
def command() -> None:
    """Plan a series, check a file of measured swatches, or invent a laboratory."""


@command.command("plan", cls=options.SaidCommand, says="swatches_plan")
@options.asking(MIXTURE["kind"], default=None)
@options.asking(MIXTURE["volume"], required=False)
@options.asking(MIXTURE["developer_parts"])
@options.asking(MIXTURE["temperature_c"])
@options.mixtures_option
@options.option("--minutes", metavar="times", says="cli.series.minutes")
@options.option("--tresses", metavar="n", says="cli.series.tresses")
@options.option("--repeats", metavar="n", says="cli.series.repeats")
@options.option("--day", metavar="min", default="480", says="cli.series.day")
@options.option("--seed", metavar="n", default="1", says="cli.option.seed")
@options.option("-o", "--output", metavar="file", says="cli.series.output")
@options.curves_option
@options.json_option
def plan(
    minutes: str | None,
    tresses: str | None,
    repeats: str | None,
    day: str,
    seed: str,
    output: str | None,
    curves_file: str | None,
    as_json: bool,
    **typed: Any,
) -> None:
    """Print the protocol of a lightening series, and what it would settle."""
    from lift.research.planning.day import check_day
    from lift.research.planning.series import (
        MINUTES as TIMES,
    )
    from lift.research.planning.series import (
        MIXTURE as TYPED,
    )
    from lift.research.planning.series import (
        READINGS,
        TRESSES,
        Series,
        lightening_series,
        write_template,
    )
    from lift.show.terminal.series import print_series

    given = {name: text for name, text in typed.items() if text is not None}
    planned = lightening_series(
        strand_options.read_mixture({**TYPED, **given}),
        TIMES if minutes is None else options.numbers_of(MINUTES, minutes),
        tresses=TRESSES if tresses is None else int(check_number("name.tresses", tresses, 1, 50)),
        repeats=READINGS if repeats is None else check_number("name.repeats", repeats, 1, 1000),
        curves=options.read_curves(curves_file),
        day=check_day(day),
        seed=check_seed(seed),
    )
    if output is not None:
        write_template(planned, output)

    def tell(found: Series) -> None:
        print_series(found, output)

    options.answer(planned, as_json, tell)


@command.command("template", cls=options.SaidCommand, says="swatches_template")
@options.option("-o", "--output", metavar="file", required=True, says="cli.swatches.fill")
def template(output: str) -> None:
    """Write a swatch file to fill in: an example, lists to choose from, what each column holds."""
    from lift.research.swatches.written import write_template

    write_template(output)
    click.echo(say("series.written", path=output))


@command.command("make", cls=options.SaidCommand, says="swatches_make")
@options.option("-o", "--output", metavar="file", required=True, says="cli.swatches.output")
@options.option("--swatches", metavar="n", default="12", says="cli.swatches.count")
@options.option(
    "--minutes", metavar="times", default="0,5,10,20,35,50", says="cli.swatches.minutes"
)
@options.option("--volumes", metavar="volumes", default="10,20,30,40", says="cli.swatches.volumes")
@options.option("--kinds", metavar="kinds", default="cream,powder", says="cli.swatches.kinds")
@options.option("--levels", metavar="low_high", default="2,8", says="cli.swatches.levels")
@options.option("--repeats", metavar="n", default="3", says="cli.swatches.repeats")
@options.option("--rate-spread", metavar="sd", says="cli.swatches.rate_spread")
@options.option("--seed", metavar="n", default="1", says="cli.option.seed")
@options.curves_option
@options.mixtures_option
def make(
    output: str,
    swatches: str,
    minutes: str,
    volumes: str,
    kinds: str,
    levels: str,
    repeats: str,
    rate_spread: str | None,
    seed: str,
    curves_file: str | None,
) -> None:
    """Invent a laboratory; the file says in its first line that nothing in it was measured."""
    from lift.research.swatches.generate import design, synthetic_laboratory
    from lift.research.swatches.written import ENDINGS, write_swatches

    if Path(output).suffix.lower() not in ENDINGS:
        raise LiftError("swatches.ending", value=output, endings=ENDINGS)
    span = options.numbers_of(quantities_of(Hair)["level"], levels)
    if len(span) != 2 or span[0] > span[1]:
        raise LiftError("swatches.levels_form", value=levels)
    laid_out = design(
        int(check_number("name.swatches", swatches, 1, 500)),
        minutes=options.numbers_of(MINUTES, minutes),
        volumes=options.numbers_of(quantities_of(Mixture)["volume"], volumes),
        kinds=options.names_of((kinds,)),
        classes=options.known_mixtures(),
        levels=(span[0], span[1]),
        repeats=int(check_number("name.repeats", repeats, 1, 1000)),
    )
    laboratory = synthetic_laboratory(
        laid_out,
        options.read_curves(curves_file),
        seed=check_seed(seed),
        rate_spread=options.number("name.rate_spread", rate_spread, 0.0, 1.0),
    )
    table = laboratory.swatches
    write_swatches(table, output)
    said = {"path": output, "readings": len(table), "swatches": len(table.names)}
    click.echo(say("cli.swatches.made", **said))


@command.command("check", cls=options.SaidCommand, says="swatches_check")
@options.argument("file", metavar="file")
@options.option("--conditions", metavar="file", says="cli.option.conditions")
@options.mixtures_option
@options.json_option
def check(file: str, conditions: str | None, as_json: bool) -> None:
    """Name every bad row of a swatch file: line, column, value and reason."""
    from lift.research.swatches.swatch_file import check_swatches

    found = check_swatches(file, conditions, options.known_mixtures())
    if as_json:
        options.print_answer(found)
    else:
        from lift.show.terminal.research import print_check

        print_check(found)
    if found.faults:
        sys.exit(2)


@command.command("columns", cls=options.SaidCommand, says="swatches_columns")
def columns() -> None:
    """List the columns of a swatch file."""
    from lift.research.swatches.columns import COLUMNS
    from lift.show.terminal.research import print_columns

    print_columns(COLUMNS)
