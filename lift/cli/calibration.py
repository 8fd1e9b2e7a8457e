"""``lift calibration``."""

from __future__ import annotations

import sys

import click

from lift.cli import options
from lift.errors import check_number


@click.command("calibration", short_help="Whether intervals are as wide as they say (slow).")
@click.option("--laboratories", metavar="N", default="1500", show_default=True, help="20 or more.")
@click.option("--seed", metavar="N", default="1", show_default=True, help="Of the laboratories.")
@click.option("--processes", metavar="N", default="2", show_default=True, help="1 to 64.")
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
    """Invent laboratories, sample each posterior, and see whether the truth lies where it should.

    Exits with 1 when ranks are not flat or 90 % intervals do not hold the truth nine times in ten.
    """
    from lift.research.posterior.sampling import require_sampler
    from lift.research.posterior.sbc import calibrate

    picture = None if plot_file is None else options.plot_path(plot_file)
    require_sampler()
    count = int(check_number("laboratories", laboratories, 20, 100_000))
    with options.progress_bar() as progress:
        found = calibrate(
            count,
            seed=int(check_number("seed", seed, 0, 2**32 - 1)),
            curves=options.read_curves(curves_file),
            processes=int(check_number("processes", processes, 1, 64)),
            progress=lambda done: progress("laboratories", round(count * done), count),
        )
    if picture is not None:
        from lift.show.plots.figure import save_figure
        from lift.show.plots.sbc_plots import plot_calibration

        save_figure(plot_calibration(found), picture)
    if as_json:
        options.print_json(found.to_dict())
    else:
        from lift.show.terminal.bayes import print_calibration

        print_calibration(found)
        if picture is not None:
            click.echo(f"Picture: {picture}")
    if not found.passed:
        sys.exit(1)
