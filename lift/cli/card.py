"""``lift card``."""

from __future__ import annotations

from pathlib import Path

import click

from lift.cli import options
from lift.errors import LiftError, check_choice
from lift.files import write_whole
from lift.words import say


@options.command("card")
@options.argument("file", metavar="file")
@options.option("-o", "--output", metavar="card", required=True, says="cli.card.output")
@options.option("--paper", default="A4", says="cli.card.paper")
@options.curves_option
@options.mixtures_option
def command(file: str, output: str, paper: str, curves_file: str | None) -> None:
    """Print the plan of a scenario file."""
    target = Path(output)
    check_choice("card.ending", target.suffix.lower(), (".html", ".pdf", ".png"))
    if not target.parent.is_dir():
        raise LiftError("card.no_folder", folder=str(target.parent), card=target.name)

    from lift.practice.scenario.scenario_file import load_scenario
    from lift.practice.service.plan import plan
    from lift.show.card.html import PAPERS, card_html
    from lift.show.card.printing import print_card

    check_choice("card.paper", paper, PAPERS)
    html = card_html(
        plan(load_scenario(file, options.known_mixtures()), options.read_curves(curves_file)), paper
    )
    if target.suffix.lower() == ".html":
        write_whole(target, html, "file.card")
    else:
        print_card(html, target, paper)
    click.echo(say("card.printed", path=target))
