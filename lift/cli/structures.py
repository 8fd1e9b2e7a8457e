"""``lift structures``."""

from __future__ import annotations

import click

from lift.cli import options
from lift.errors import check_number
from lift.words import say


@options.command("structures")
@options.argument("swatches_file", metavar="swatches")
@options.option("--conditions", metavar="file", says="cli.option.conditions")
@options.option("--free", metavar="names", multiple=True, says="cli.option.free")
@options.option("--starts", metavar="n", default="3", show_default=True, says="cli.option.starts")
@options.option("--seed", metavar="n", default="1", show_default=True, says="cli.option.seed")
@options.curves_option
@options.mixtures_option
@options.plot_option
@options.json_option
def command(
    swatches_file: str,
    conditions: str | None,
    free: tuple[str, ...],
    starts: str,
    seed: str,
    curves_file: str | None,
    plot_file: str | None,
    as_json: bool,
) -> None:
    """Fit alternative structures to the same swatches."""
    from lift.research.posterior.problem import FREE
    from lift.research.swatches.swatch_file import read_swatches
    from lift.research.tuning.criticism import criticise

    picture = None if plot_file is None else options.plot_path(plot_file)
    many = int(check_number("name.starts", starts, 1, 50))
    first = int(check_number("name.seed", seed, 0, 2**32 - 1))
    curves = options.read_curves(curves_file)
    swatches = read_swatches(swatches_file, conditions, options.known_mixtures())
    with options.progress_bar() as progress:
        found = criticise(
            swatches,
            curves,
            options.names_of(free) or FREE,
            starts=many,
            seed=first,
            progress=progress,
        )
    if picture is not None:
        from lift.show.plots.criticism_plots import plot_criticism
        from lift.show.plots.figure import save_figure

        save_figure(plot_criticism(found), picture)
    if as_json:
        options.print_answer(found)
        return
    from lift.show.terminal.bayes import print_criticism

    print_criticism(found)
    if picture is not None:
        click.echo(say("cli.picture_drawn", path=picture))
