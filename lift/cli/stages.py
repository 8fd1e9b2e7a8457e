"""``lift stages``."""

from __future__ import annotations

import click

from lift.cli import options


@click.command("stages", short_help="Levels, underpigment, stages and what answers them.")
@options.curves_option
@options.json_option
def command(curves_file: str | None, as_json: bool) -> None:
    """Table of levels: natural colour, underpigment exposed, its stage, and the tone direction."""
    from lift.practice.stage_table import stage_table

    table = stage_table(options.read_curves(curves_file))
    if as_json:
        options.print_json(table.to_dict())
        return
    from lift.show.terminal.preview import print_stages

    print_stages(table)
