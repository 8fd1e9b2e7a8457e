"""``lift structures``."""

from __future__ import annotations

from pathlib import Path

from lift.cli import options
from lift.cli.swatch_options import as_read_option, read_swatches
from lift.errors import check_number
from lift.quantities import check_seed


@options.command("structures")
@options.argument("swatches_file", metavar="swatches")
@options.option("--conditions", metavar="file", says="cli.option.conditions")
@as_read_option
@options.option("--free", metavar="names", multiple=True, says="cli.option.free")
@options.option("--starts", metavar="n", default="3", says="cli.option.starts")
@options.option("--seed", metavar="n", default="1", says="cli.option.seed")
@options.curves_option
@options.mixtures_option
@options.plot_option
@options.json_option
def command(
    swatches_file: str,
    conditions: str | None,
    as_read: bool,
    free: tuple[str, ...],
    starts: str,
    seed: str,
    curves_file: str | None,
    picture: Path | None,
    as_json: bool,
) -> None:
    """Fit alternative structures to the same swatches."""
    from lift.research.posterior.problem import FREE
    from lift.research.tuning.criticism import criticise
    from lift.show.plots.criticism_plots import plot_criticism
    from lift.show.terminal.bayes import print_criticism

    many = int(check_number("name.starts", starts, 1, 50))
    first = check_seed(seed)
    curves = options.read_curves(curves_file)
    swatches = read_swatches(swatches_file, conditions, as_read=as_read)
    with options.progress_bar() as progress:
        found = criticise(
            swatches,
            curves,
            options.names_of(free) or FREE,
            starts=many,
            seed=first,
            progress=progress,
        )
    options.answer(found, as_json, print_criticism, (picture, plot_criticism))
