"""``lift tune``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lift.cli import options
from lift.cli.swatch_options import as_read_option, read_swatches
from lift.errors import LiftError, check_choice, check_number
from lift.quantities import check_seed
from lift.words import note, say

if TYPE_CHECKING:
    from lift.model.curves import CurveSet


SECONDS_EACH = 0.03
"""What a reading takes [s]: measured with 50 to 200 swatches of six, on one core of 2026."""

MOST_SECONDS = 60.0
"""Longest tuning that begins without being asked for [s]: a minute at the desk; chosen."""


@options.command("tune")
@options.argument("swatches_file", metavar="swatches")
@options.option("-o", "--output", metavar="file", says="cli.tune.output")
@options.option("--conditions", metavar="file", says="cli.option.conditions")
@as_read_option
@options.option("--free", metavar="names", multiple=True, says="cli.option.free")
@options.option("--fix", metavar="name_value", multiple=True, says="cli.tune.fix")
@options.option("--tie", metavar="tie", multiple=True, says="cli.tune.tie")
@options.option("--without", metavar="name", multiple=True, says="cli.tune.without")
@options.option("--keep-suspects", is_flag=True, says="cli.tune.keep_suspects")
@options.option("--starts", metavar="n", default="3", says="cli.option.starts")
@options.option("--seed", metavar="n", default="1", says="cli.option.seed")
@options.option("--coverage", metavar="p", default="0.9", says="cli.tune.share")
@options.option("--squares", is_flag=True, says="cli.tune.squares")
@options.option("--one-rate", is_flag=True, says="cli.tune.one_rate")
@options.option("--skip-left-out", is_flag=True, says="cli.tune.skip_left_out")
@options.option("--bayes", is_flag=True, hidden=True, says="cli.tune.bayes")
@options.option("--title", metavar="words", default="", says="cli.tune.title")
@options.option("--author", "authors", metavar="author", multiple=True, says="cli.tune.author")
@options.option("--licence", metavar="words", default="", says="cli.tune.licence")
@options.option("--doi", metavar="words", default="", says="cli.tune.doi")
@options.option("--long", "may_last", is_flag=True, says="cli.tune.long")
@options.picture_option("--bands", says="cli.tune.bands")
@options.picture_option("--draws", says="cli.tune.draws")
@options.picture_option("--influence", says="cli.tune.influence")
@options.option("--html", "page_file", metavar="file", says="cli.tune.html")
@options.curves_option
@options.mixtures_option
@options.plot_option
@options.json_option
def command(
    swatches_file: str,
    output: str | None,
    conditions: str | None,
    as_read: bool,
    free: tuple[str, ...],
    fix: tuple[str, ...],
    tie: tuple[str, ...],
    without: tuple[str, ...],
    keep_suspects: bool,
    starts: str,
    seed: str,
    coverage: str,
    squares: bool,
    one_rate: bool,
    skip_left_out: bool,
    bayes: bool,
    may_last: bool,
    title: str,
    authors: tuple[str, ...],
    licence: str,
    doi: str,
    bands: Path | None,
    draws: Path | None,
    influence: Path | None,
    page_file: str | None,
    curves_file: str | None,
    picture: Path | None,
    as_json: bool,
) -> None:
    """Fit stage curves to measured swatches."""
    from lift.research.posterior.drawn import require_sampler
    from lift.research.posterior.problem import parse_tie
    from lift.research.tuning.citing import Credit
    from lift.research.tuning.curve_files import named_after, tuned_curves
    from lift.research.tuning.tune import tune

    for path in (output, page_file):
        if path is not None and not Path(path).resolve().parent.is_dir():
            raise LiftError("cli.no_folder", folder=str(Path(path).parent), path=path)
    credit = Credit(title, authors, licence, doi)
    require_sampler()
    if bayes:
        click.echo(say("cli.tune.bayes"), err=True)
    ties = [parse_tie(text) for text in tie]
    curves, names = _held(options.read_curves(curves_file), free, fix, [t.name for t in ties])
    wishes: dict[str, Any] = {
        "starts": int(check_number("name.starts", starts, 1, 50)),
        "seed": check_seed(seed),
        "coverage": check_number("name.coverage", coverage, 0.01, 0.999),
    }
    swatches = read_swatches(swatches_file, conditions, as_read=as_read)
    for name in without:
        check_choice("name.swatch", name, swatches.names)
        swatches = swatches.without(swatches.names.index(name))
    seconds = SECONDS_EACH * len(swatches)
    if seconds > MOST_SECONDS and not may_last:
        counts = {"readings": len(swatches), "swatches": len(swatches.names)}
        raise LiftError("tuning.long", minutes=seconds / 60.0, most=MOST_SECONDS, **counts)
    with options.progress_bar() as progress:
        result = tune(
            swatches,
            curves,
            names,
            ties,
            loss="linear" if squares else "t",
            own_rates=not one_rate,
            leave_swatches_out=not skip_left_out,
            keep_suspects=keep_suspects,
            progress=progress,
            **wishes,
        )
    if bands is not None or draws is not None:
        from lift.show.plots.bayes_plots import save_pictures

        save_pictures(result.posterior, bands, draws)
    if output is not None:
        tuned_curves(result, named_after(output), credit).save(output)
    if picture is not None:
        from lift.show.plots.figure import save_figure
        from lift.show.plots.tune_plots import plot_tuning

        save_figure(plot_tuning(result), picture)
    if influence is not None:
        from lift.show.plots.figure import save_figure
        from lift.show.plots.influence_plots import plot_influence

        save_figure(plot_influence(result), influence)
    if page_file is not None:
        from lift.show.report.tune_page import write_page

        write_page(result, page_file)
    if as_json:
        options.print_answer(result)
    else:
        from lift.show.terminal.research import print_tuning

        print_tuning(result)
        for code, made in (
            ("cli.curve_set_written", output),
            ("cli.picture_drawn", picture),
            ("cli.bands_drawn", bands),
            ("cli.draws_drawn", draws),
            ("cli.influence_drawn", influence),
            ("cli.page_written", page_file),
        ):
            if made is not None:
                click.echo(say(code, path=made))
    if not result.converged:
        sys.exit(1)


def _held(
    curves: CurveSet, free: tuple[str, ...], fix: tuple[str, ...], tied: list[str]
) -> tuple[CurveSet, list[str]]:
    """Curve set with the fixed values put in, and the names of what is free."""
    from lift.research.posterior.problem import FREE

    names = options.names_of(free) or list(FREE)
    values: dict[str, Any] = {}
    for text in fix:
        name, equals, value = (part.strip() for part in text.partition("="))
        parameter = curves[check_choice("name.fixed_parameter", name, curves)]
        if equals:
            said = note("name.fixed", name=name)
            values[name] = check_number(said, value, parameter.low, parameter.high, parameter.unit)
        names = [n for n in names if n != name]
    if values:
        curves = curves.replace(**values)
    return curves, [n for n in names if n not in tied]
