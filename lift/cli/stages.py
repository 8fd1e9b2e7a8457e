"""``lift stages``."""

from __future__ import annotations

from lift.cli import options


@options.command("stages")
@options.curves_option
@options.json_option
def command(curves_file: str | None, as_json: bool) -> None:
    """Table of levels."""
    from lift.practice.stage_table import stage_table

    table = stage_table(options.read_curves(curves_file))
    if as_json:
        options.print_answer(table)
        return
    from lift.show.terminal.stages import print_stages

    print_stages(table)
