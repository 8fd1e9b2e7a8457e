"""``lift curves show`` and ``lift curves compare``."""

from __future__ import annotations

import click

from lift.cli import options
from lift.words import say


@options.group("curves")
def command() -> None:
    """Show every number of a curve set, or what two sets differ in."""


@command.command("show", cls=options.SaidCommand, says="curves_show")
@options.argument("file", metavar="file", required=False)
@options.plot_option
@options.json_option
def show(file: str | None, plot_file: str | None, as_json: bool) -> None:
    """All parameters of a set."""
    picture = None if plot_file is None else options.plot_path(plot_file)
    curves = options.read_curves(file)
    if picture is not None:
        from lift.show.plots.curves_plots import plot_curves
        from lift.show.plots.figure import save_figure

        save_figure(plot_curves(curves), picture)
    if as_json:
        options.print_answer(curves)
        return
    from lift.show.terminal.research import print_curves

    print_curves(curves)
    if picture is not None:
        click.echo(say("cli.picture_drawn", path=picture))


@command.command("compare", cls=options.SaidCommand, says="curves_compare")
@options.argument("first", metavar="first")
@options.argument("second", metavar="second")
@options.plot_option
@options.json_option
def compare(first: str, second: str, plot_file: str | None, as_json: bool) -> None:
    """What two curve sets differ in."""
    from lift.research.tuning.curve_files import compare as compare_sets

    picture = None if plot_file is None else options.plot_path(plot_file)
    one, two = (options.read_curves(None if f == "default" else f) for f in (first, second))
    found = compare_sets(one, two)
    if picture is not None:
        from lift.show.plots.curves_plots import plot_comparison
        from lift.show.plots.figure import save_figure

        save_figure(plot_comparison(found), picture)
    if as_json:
        options.print_answer(found)
        return
    from lift.show.terminal.research import print_comparison

    print_comparison(found)
    if picture is not None:
        click.echo(say("cli.picture_drawn", path=picture))
