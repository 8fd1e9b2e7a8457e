"""``lift card``."""

from __future__ import annotations

import click

from lift.cli import options
from lift.errors import check_choice
from lift.words import say


@options.command("card")
@options.argument("file", metavar="file")
@options.option("-o", "--output", metavar="card", required=True, says="cli.card.output")
@options.option("--paper", default="A4", says="cli.card.paper")
@options.curves_option
@options.mixtures_option
def command(file: str, output: str, paper: str, curves_file: str | None) -> None:
    """Print the card of a visit or a scenario file."""
    from lift.show.card.printing import check_target, write_card

    target = check_target(output)

    from lift.practice.service.plan import plan
    from lift.practice.visit.toned_visit import toned_visit
    from lift.practice.visit.visit_file import load_visit
    from lift.show.card.html import PAPERS, card_html
    from lift.show.card.toned import toned_card_html

    check_choice("card.paper", paper, PAPERS)
    visit, curves = load_visit(file, options.known_mixtures()), options.read_curves(curves_file)
    if visit.scenario.treated:
        found = plan(visit.scenario, curves, consulted=visit.consulted)
        html = card_html(found, paper, client=visit.client or "", date=visit.date or "")
    else:
        html = toned_card_html(toned_visit(visit, curves), paper)
    write_card(html, target, paper)
    click.echo(say("card.printed", path=target))
