"""``lift handout``."""

from __future__ import annotations

import click

from lift.cli import options
from lift.words import say


@options.command("handout")
@options.option("-o", "--output", metavar="file", default="handout.pdf",
                says="cli.handout.output")  # fmt: skip
@options.curves_option
def command(output: str, curves_file: str | None) -> None:
    """Draw the handout."""
    target = options.plot_path(output)
    curves = options.read_curves(curves_file)

    from lift.show.lesson.handout import plot_handout
    from lift.show.plots.figure import save_figure

    save_figure(plot_handout(curves), target)
    click.echo(say("cli.handout.made", path=output))
