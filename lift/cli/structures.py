"""``lift structures``."""

from __future__ import annotations

import click

from lift.cli import options
from lift.errors import check_number


@click.command("structures", short_help="Which physics measured swatches need.")
@click.argument("swatches_file", metavar="SWATCHES")
@click.option("--conditions", metavar="FILE", help="Conditions of a CxF file's objects (CSV).")
@click.option("--free", metavar="NAME,...", multiple=True, help="Free these, not the usual rates.")
@click.option("--starts", metavar="N", default="3", show_default=True, help="Starts, 1 to 50.")
@click.option("--seed", metavar="N", default="1", show_default=True, help="Seed of the starts.")
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
    """Fit alternative structures to the same swatches, and say which physics the data need.

    With and without half-oxidised melanin, with and without uptake, and any order in peroxide;
    compared by AICc and by the prediction of swatches left out.
    """
    from lift.research.swatches.swatch_file import read_swatches
    from lift.research.tuning.criticism import criticise
    from lift.research.tuning.problem import FREE

    picture = None if plot_file is None else options.plot_path(plot_file)
    many = int(check_number("starts", starts, 1, 50))
    first = int(check_number("seed", seed, 0, 2**32 - 1))
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
        options.print_json(found.to_dict())
        return
    from lift.show.terminal.bayes import print_criticism

    print_criticism(found)
    if picture is not None:
        click.echo(f"Picture: {picture}")
