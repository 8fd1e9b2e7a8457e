"""``lift page``."""

from __future__ import annotations

import click

from lift.cli import options


@click.command("page", short_help="Serve the page for the chair, on this machine.")
@click.option("--port", metavar="N", help="Port, 0 to 65535; 0 takes a free one.")
@click.option(
    "--host",
    metavar="HOST",
    default="127.0.0.1",
    show_default=True,
    help="Other than this machine: prints a code to be typed on each device.",
)
@click.option("--data", metavar="FOLDER", help="Where plans and records are kept.")
@click.option("--certificate", metavar="FILE", help="Serve over TLS: certificate (PEM).")
@click.option("--key", metavar="FILE", help="Serve over TLS: its key (PEM).")
@options.curves_option
def command(
    port: str | None,
    host: str,
    data: str | None,
    certificate: str | None,
    key: str | None,
    curves_file: str | None,
) -> None:
    """Serve the page: preview, plan, clock, strand test and record, on a phone or a desk."""
    from pathlib import Path

    from lift.errors import LiftError
    from lift.show.page.serve import PORT, Place, data_folder, serve

    asked = options.number("port", port, 0, 65535)
    place = Place(host, PORT if asked is None else asked, certificate, key)
    try:
        serve(
            place,
            data_folder() if data is None else Path(data),
            options.read_curves(curves_file),
            click.echo,
        )
    except ModuleNotFoundError as error:
        raise LiftError(
            f"{error.name} is missing; install lift with its extra: lift[page]"
        ) from None
