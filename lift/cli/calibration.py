"""``lift calibration``."""

from __future__ import annotations

import sys

import click

from lift.cli import options
from lift.errors import check_number
from lift.words import say


@options.command("calibration")
@options.option(
    "--laboratories",
    metavar="n",
    default="1500",
    show_default=True,
    says="cli.calibration.count",
)
@options.option("--seed", metavar="n", default="1", show_default=True, says="cli.option.seed")
@options.option(
    "--processes",
    metavar="n",
    default="2",
    show_default=True,
    says="cli.calibration.processes",
)
@options.curves_option
@options.plot_option
@options.json_option
def command(
    laboratories: str,
    seed: str,
    processes: str,
    curves_file: str | None,
    plot_file: str | None,
    as_json: bool,
) -> None:
    """Invent laboratories, tune to each, and see whether the truth lies where it should."""
    from lift.research.posterior.sampling import require_sampler
    from lift.research.posterior.sbc import calibrate

    picture = None if plot_file is None else options.plot_path(plot_file)
    require_sampler()
    count = int(check_number("name.laboratories", laboratories, 20, 100_000))
    with options.progress_bar() as progress:
        found = calibrate(
            count,
            seed=int(check_number("name.seed", seed, 0, 2**32 - 1)),
            curves=options.read_curves(curves_file),
            processes=int(check_number("name.processes", processes, 1, 64)),
            progress=lambda done: progress("name.laboratories", round(count * done), count),
        )
    if picture is not None:
        from lift.show.plots.figure import save_figure
        from lift.show.plots.sbc_plots import plot_calibration

        save_figure(plot_calibration(found), picture)
    if as_json:
        options.print_answer(found)
    else:
        from lift.show.terminal.bayes import print_calibration

        print_calibration(found)
        if picture is not None:
            click.echo(say("cli.picture_drawn", path=picture))
    if not found.passed:
        sys.exit(1)
