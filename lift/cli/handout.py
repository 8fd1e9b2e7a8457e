"""``lift handout``."""

from __future__ import annotations

import click

from lift.cli import options


@click.command("handout", short_help="One A4 page for a class: why it turns orange.")
@click.option(
    "-o", "--output", metavar="FILE", default="handout.pdf", show_default=True, help="Where to."
)
@options.curves_option
def command(output: str, curves_file: str | None) -> None:
    """Draw the handout to a .pdf, .png or .svg file."""
    target = options.plot_path(output)
    curves = options.read_curves(curves_file)

    from lift.show.lesson.handout import plot_handout
    from lift.show.plots.figure import save_figure

    save_figure(plot_handout(curves), target)
    click.echo(f"Handout: {output}")
