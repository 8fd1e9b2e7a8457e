"""What a visit is printed and sent as: its card, as a page or a PDF, and its calendar entry."""

from __future__ import annotations

import datetime
import json
import tempfile
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool

from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.practice.service.plan import plan
from lift.practice.visit.next_entry import visit_ics
from lift.practice.visit.visit import Visit
from lift.practice.visit.visit_table import visit_of, visit_table
from lift.show.card.html import card_html
from lift.show.card.printing import print_card
from lift.show.page.answer import Answer, curves_of, policy
from lift.show.page.desk import Asked, Desk
from lift.show.page.visits import visit_named
from lift.words import note

CARD_POLICY = policy(
    default_src="'none'",
    style_src="'unsafe-inline'",
    img_src="data:",
    base_uri="'none'",
    form_action="'none'",
    frame_ancestors="'none'",
)
"""The card is one file with its style inside, and has no script."""

PAPER = "A4"


async def visit_card(desk: Desk, asked: Asked) -> Answer:
    """Card of a visit, to be printed from any browser."""
    return await _card(desk, asked)


async def visit_card_pdf(desk: Desk, asked: Asked) -> Answer:
    """Card of a visit as a PDF of one page; refused where this machine has no browser."""
    made = await _card(desk, asked)
    paper = asked.query.get("paper", PAPER)
    pdf = await run_in_threadpool(_printed, made.plain.decode(), paper)
    return Answer(pdf, media="application/pdf", headers=_saved_as(asked.name, "pdf"))


def visit_calendar(desk: Desk, asked: Asked) -> Answer:
    """Calendar entry of the next visit, as a file that any calendar opens (RFC 5545)."""
    at = asked.query.get("at")
    time = None if at is None else datetime.time.fromisoformat(at)
    entry = visit_ics(visit_named(desk, asked.name), at=time)
    return Answer(entry, media="text/calendar", headers=_saved_as(asked.name, "ics"))


async def _card(desk: Desk, asked: Asked) -> Answer:
    visit = visit_named(desk, asked.name)
    # A card is of what is planned: what was done since changes nothing of it.
    own = visit.replace(clock=type(visit.clock)(), looks=(), came_out=(), step="hair")
    text = json.dumps(visit_table(own), sort_keys=True)
    job = partial(answer_card, text, asked.query.get("paper", PAPER), desk.packed)
    return await desk.slow.get(("card", text, *asked.query.items()), job)


def answer_card(text: str, paper: str, packed: bytes) -> Answer:
    """Card of a visit from its JSON; runs in any process."""
    curves = curves_of(packed)
    html = card_of(visit_of(json.loads(text), classes=curves.mixtures), curves, paper)
    headers = {"content-security-policy": CARD_POLICY}
    return Answer(html.encode(), media="text/html", headers=headers)


def card_of(visit: Visit, curves: CurveSet, paper: str = PAPER) -> str:
    """Card of a visit as a document.

    Raises
    ------
    LiftError
        Where nothing is mixed, or what is cannot be planned.
    """
    if not visit.scenario.treated:
        raise LiftError("card.nothing_mixed")
    made = plan(visit.scenario, curves, consulted=visit.consulted)
    titled = made.scenario.title or str(note("card.of_visit"))
    made = replace(made, scenario=made.scenario.replace(title=titled))
    return card_html(made, paper, client=visit.client or "", date=visit.date or "")


def _printed(html: str, paper: str) -> bytes:
    with tempfile.TemporaryDirectory(prefix="lift-card-") as folder:
        target = Path(folder, "card.pdf")
        print_card(html, target, paper)
        return target.read_bytes()


def _saved_as(name: str, ending: str) -> dict[str, Any]:
    return {"content-disposition": f'attachment; filename="{name}.{ending}"'}
