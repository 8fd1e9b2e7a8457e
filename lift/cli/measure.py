"""``lift measure``."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from time import perf_counter

import click

from lift.cli import options
from lift.cli.photo_options import open_or_find
from lift.photo.editions import EDITIONS
from lift.words import note, say


def _print_guide(context: click.Context, option: click.Parameter, path: str | None) -> None:
    """Print how to take a photograph, in place of measuring one."""
    if path is None:
        return
    from lift.show.card.photo_guide import guide_html
    from lift.show.card.printing import check_target, write_card

    target = check_target(path)
    write_card(guide_html(), target)
    click.echo(say("cli.measure.guide_printed", path=target))
    context.exit()


@options.command("measure")
@options.argument("photo", "photo")
@options.option("--chart", metavar="corners", says="cli.measure.chart")
@options.option("--hair", metavar="outline", required=True, says="cli.measure.hair")
@options.option("--other", metavar="outline", says="cli.measure.other")
@options.option(
    "--edition",
    metavar="edition",
    default=EDITIONS[0],
    says=note("cli.measure.edition", editions=EDITIONS),
)
@options.option(
    "--guide",
    metavar="guide",
    says="cli.measure.guide",
    is_eager=True,
    expose_value=False,
    callback=_print_guide,
)
@options.curves_option
@options.plot_option
@options.brief_option
@options.json_option
def command(
    photo: str,
    chart: str | None,
    hair: str,
    other: str | None,
    edition: str,
    curves_file: str | None,
    picture: Path | None,
    brief: bool,
    as_json: bool,
) -> None:
    """Measure a colour in a photograph with a chart in it."""
    from lift.photo.chart import read_points
    from lift.photo.measured import Difference, Measured
    from lift.photo.picture import as_picture
    from lift.show.plots.photo_plots import plot_measured
    from lift.show.terminal.measure import print_measured

    start = perf_counter()
    region = read_points(hair)
    second = None if other is None else read_points(other)
    curves = options.read_curves(curves_file)
    opened = as_picture(Path(photo))
    read = open_or_find(opened, chart, edition)
    found: Measured | Difference
    if second is None:
        found = read.measure(region, curves=curves)
    else:
        found = read.measure_difference(region, second, curves=curves)
    took = perf_counter() - start
    draw = partial(plot_measured, picture=opened, chart=read.corners)
    options.answer(
        found, as_json, lambda it: print_measured(it, took, brief=brief), (picture, draw)
    )
