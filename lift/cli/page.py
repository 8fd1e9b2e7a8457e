"""``lift page``."""

from __future__ import annotations

import click

from lift.cli import options


@options.command("page")
@options.option("--port", metavar="n", says="cli.page.port")
@options.option("--host", metavar="host", default="127.0.0.1", says="cli.page.host")
@options.option("--data", metavar="folder", says="cli.page.data")
@options.option("--certificate", metavar="file", says="cli.page.certificate")
@options.option("--key", metavar="file", says="cli.page.key")
@options.curves_option
@options.mixtures_option
def command(
    port: str | None,
    host: str,
    data: str | None,
    certificate: str | None,
    key: str | None,
    curves_file: str | None,
) -> None:
    """Serve the page."""
    from pathlib import Path

    from lift.errors import LiftError

    try:
        from lift.practice.visit.home import data_folder
        from lift.show.page.serve import PORT, Place, serve

        asked = options.number("page.serve.port", port, 0, 65535)
        place = Place(host, PORT if asked is None else asked, certificate, key)
        folder = data_folder() if data is None else Path(data)
        serve(place, folder, options.read_curves(curves_file), click.echo)
    except ModuleNotFoundError as error:
        raise LiftError("cli.page.missing", package=error.name) from None
