"""Reading the swatch file that a command is given, and saying how it was read."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from lift.cli import options
from lift.words import say

if TYPE_CHECKING:
    from lift.research.swatches.table import Swatches


as_read_option = options.option("--as-read", is_flag=True, says="cli.option.as_read")


def read_swatches(path: str, conditions: str | None, *, as_read: bool) -> Swatches:
    """Read a swatch file; what was taken to mean what is said on stderr.

    Raises
    ------
    LiftError
        When a cell is wrong, or a whole column looks so and it is not to be taken as read.
    """
    from lift.research.swatches.swatch_file import check_swatches, usable

    found = check_swatches(path, conditions, options.known_mixtures())
    for told in found.told:
        click.echo(say("swatches.told", told=told), err=True)
    swatches = usable(found, as_read=as_read)
    for doubt in found.doubts:
        click.echo(say("swatches.doubt", doubt=doubt), err=True)
    return swatches
