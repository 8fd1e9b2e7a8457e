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
    """Print the card of a visit or a scenario file."""
    target = Path(output)
    check_choice("card.ending", target.suffix.lower(), (".html", ".pdf", ".png"))
    if not target.parent.is_dir():
        raise LiftError("card.no_folder", folder=str(target.parent), card=target.name)

    from lift.practice.service.plan import plan
    from lift.practice.visit.toned_visit import toned_visit
    from lift.practice.visit.visit_file import load_visit
    from lift.show.card.html import PAPERS, card_html
    from lift.show.card.printing import print_card
    from lift.show.card.toned import toned_card_html

    check_choice("card.paper", paper, PAPERS)
    visit, curves = load_visit(file, options.known_mixtures()), options.read_curves(curves_file)
    if visit.scenario.treated:
        found = plan(visit.scenario, curves, consulted=visit.consulted)
        html = card_html(found, paper, client=visit.client or "", date=visit.date or "")
    else:
        html = toned_card_html(toned_visit(visit, curves), paper)
    if target.suffix.lower() == ".html":
        write_whole(target, html, "file.card")
    else:
        print_card(html, target, paper)
    click.echo(say("card.printed", path=target))
