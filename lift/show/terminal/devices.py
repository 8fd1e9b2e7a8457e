"""Terminal output of paired devices."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from rich.console import Console
from rich.table import Table

from lift.show.page.devices import LASTS_DAYS, UNUSED_DAYS, Device
from lift.show.terminal.foot import console
from lift.words import say

HEADS = ("number", "name", "address", "paired", "used", "until")


def print_devices(paired: Sequence[Device], to: Console | None = None) -> None:
    """Print devices as a table, times as they are here."""
    to = to or console()
    if not paired:
        to.print(say("page.devices.none"))
        return
    table = Table(box=None, pad_edge=False)
    for head in HEADS:
        table.add_column(say(f"page.devices.{head}"))
    for device in paired:
        table.add_row(
            device.number,
            device.name,
            device.address,
            *(_time(at) for at in (device.paired, device.used, device.until)),
        )
    to.print(table)
    to.print(say("page.devices.ends", days=LASTS_DAYS, unused=UNUSED_DAYS))


def _time(seconds: float) -> str:
    return datetime.fromtimestamp(seconds).isoformat(" ", "minutes")
