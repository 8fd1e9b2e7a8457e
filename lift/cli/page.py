"""``lift page``: serve, and who may use what is served."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from lift.cli import options
from lift.errors import LiftError
from lift.words import say

if TYPE_CHECKING:
    from lift.show.page.devices import Devices
    from lift.show.page.sessions import Sessions

data_option = options.option("--data", metavar="folder", says="cli.page.data")
ALL = "all"


@options.group("page", alone=True)
@options.option("--port", metavar="n", says="cli.page.port")
@options.option("--host", metavar="host", default="127.0.0.1", says="cli.page.host")
@data_option
@options.option("--tls", is_flag=True, says="cli.page.tls")
@options.option("--certificate", metavar="file", says="cli.page.certificate")
@options.option("--key", metavar="file", says="cli.page.key")
@options.curves_option
@options.mixtures_option
@click.pass_context
def command(
    context: click.Context,
    port: str | None,
    host: str,
    data: str | None,
    tls: bool,
    certificate: str | None,
    key: str | None,
    curves_file: str | None,
) -> None:
    """Serve the page."""
    if context.invoked_subcommand is not None:
        return
    try:
        from lift.show.page.serve import PORT, Place, serve

        asked = options.number("page.serve.port", port, 0, 65535)
        place = Place(host, PORT if asked is None else asked, certificate, key, tls)
        serve(place, _folder(data), options.read_curves(curves_file), click.echo)
    except ModuleNotFoundError as error:
        package = str(error.name).split(".", 1)[0]
        extra = "tls" if package == "cryptography" else "page"
        raise LiftError("extra.missing", package=package, extra=extra) from None


@options.command("code", of="page")
@data_option
def new_code(data: str | None) -> None:
    """Print another pairing code."""
    from lift.show.page.pairing import CODE_MINUTES, Pairing, grouped

    made = Pairing(_sessions(data).data).renew()
    click.echo(say("page.serve.code", code=grouped(made), minutes=CODE_MINUTES))


@options.command("devices", of="page")
@data_option
def list_devices(data: str | None) -> None:
    """List paired devices."""
    from lift.show.terminal.devices import print_devices

    print_devices(_devices(data).paired())


@options.command("unpair", of="page")
@options.argument("number", metavar="device")
@data_option
def unpair(number: str, data: str | None) -> None:
    """End the pairing of a device, or of all."""
    paired = _devices(data)
    count = paired.unpair_all() if number == ALL else len([paired.unpair(number)])
    click.echo(say("cli.page_unpair.done", count=count))


for each in (new_code, list_devices, unpair):
    command.add_command(each)


def _folder(data: str | None) -> Path:
    from lift.practice.visit.home import data_folder

    return data_folder() if data is None else Path(data)


def _sessions(data: str | None) -> Sessions:
    from lift.show.page.sessions import Sessions

    return Sessions(_folder(data))


def _devices(data: str | None) -> Devices:
    from lift.show.page.devices import Devices

    return Devices(_sessions(data))
