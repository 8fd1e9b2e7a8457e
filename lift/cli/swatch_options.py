"""Reading the swatch file that a command is given, and saying how it was read."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from lift.cli import options
from lift.words import say

if TYPE_CHECKING:
    from lift.research.swatches.table import Swatches


def read_swatches(path: str, conditions: str | None) -> Swatches:
    """Read a swatch file; what was taken to mean what is said on stderr."""
    from lift.research.swatches.swatch_file import check_swatches, usable

    found = check_swatches(path, conditions, options.known_mixtures())
    for told in found.told:
        click.echo(say("swatches.told", told=told), err=True)
    return usable(found)
