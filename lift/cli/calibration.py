"""``lift calibration``."""

from __future__ import annotations

import sys
from pathlib import Path

from lift.cli import options
from lift.errors import check_number
from lift.quantities import check_seed


@options.command("calibration")
@options.option("--laboratories", metavar="n", default="1500", says="cli.calibration.count")
@options.option("--seed", metavar="n", default="1", says="cli.option.seed")
@options.option("--processes", metavar="n", default="2", says="cli.calibration.processes")
@options.curves_option
@options.plot_option
@options.json_option
def command(
    laboratories: str,
    seed: str,
    processes: str,
    curves_file: str | None,
    picture: Path | None,
    as_json: bool,
) -> None:
    """Invent laboratories, tune to each, and see whether the truth lies where it should."""
    from lift.research.posterior.drawn import require_sampler
    from lift.research.posterior.sbc import check_calibration
    from lift.show.plots.sbc_plots import plot_calibration
    from lift.show.terminal.bayes import print_calibration

    require_sampler()
    count = int(check_number("name.laboratories", laboratories, 20, 100_000))
    with options.progress_bar() as progress:
        found = check_calibration(
            count,
            seed=check_seed(seed),
            curves=options.read_curves(curves_file),
            processes=int(check_number("name.processes", processes, 1, 64)),
            progress=lambda done: progress("name.laboratories", round(count * done), count),
        )
    options.answer(found, as_json, print_calibration, (picture, plot_calibration))
    if not found.passed:
        sys.exit(1)
