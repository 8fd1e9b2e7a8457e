"""What a visit is printed and sent as: its card, as a page or a PDF, and its calendar entry."""

from __future__ import annotations

import datetime
import json
import tempfile
from functools import partial
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool

from lift.practice.visit.next_entry import visit_ics
from lift.practice.visit.toned_visit import toned_visit
from lift.practice.visit.visit_table import visit_of, visit_table
from lift.show.card.html import card_html
from lift.show.card.photo_guide import guide_html
from lift.show.card.printing import print_card
from lift.show.card.toned import toned_card_html
from lift.show.page.answer import Answer, curves_of, policy
from lift.show.page.asked_visit import unbegun
from lift.show.page.desk import Asked, Desk
from lift.show.page.planned import planned
from lift.show.page.visits import kept_named

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


def photo_guide(desk: Desk, asked: Asked) -> Answer:
    """How to take a photograph that can be measured, to be printed from any browser."""
    html = guide_html(asked.query.get("paper", PAPER))
    headers = {"content-security-policy": CARD_POLICY}
    return Answer(html.encode(), media="text/html", headers=headers)


def visit_calendar(desk: Desk, asked: Asked) -> Answer:
    """Calendar entry of the next visit, as a file that any calendar opens (RFC 5545)."""
    at = asked.query.get("at")
    time = None if at is None else datetime.time.fromisoformat(at)
    entry = visit_ics(kept_named(desk, asked.name).visit, at=time)
    return Answer(entry, media="text/calendar", headers=_saved_as(asked.name, "ics"))


async def _card(desk: Desk, asked: Asked) -> Answer:
    visit, paper = kept_named(desk, asked.name).visit, asked.query.get("paper", PAPER)
    table = visit_table(visit)
    if visit.scenario.treated:
        # Of what is planned: what was done since changes nothing of it.
        asks = unbegun(table), visit.client or "", visit.date or "", paper
        return await desk.slow.get(("card", *asks), partial(answer_card, *asks, desk.packed))
    # A tone answers what was seen.
    seen = json.dumps(table, sort_keys=True), paper
    return await desk.slow.get(("card", *seen), partial(answer_toned_card, *seen, desk.packed))


def answer_card(text: str, client: str, date: str, paper: str, packed: bytes) -> Answer:
    """Card of the plan of a visit from its JSON; runs in any process."""
    return _page(card_html(planned(text, packed), paper, client=client, date=date))


def answer_toned_card(text: str, paper: str, packed: bytes) -> Answer:
    """Card of a visit that lightens nothing, from its JSON; runs in any process."""
    curves = curves_of(packed)
    visit = visit_of(json.loads(text), classes=curves.mixtures)
    return _page(toned_card_html(toned_visit(visit, curves), paper))


def _page(html: str) -> Answer:
    headers = {"content-security-policy": CARD_POLICY}
    return Answer(html.encode(), media="text/html", headers=headers)


def _printed(html: str, paper: str) -> bytes:
    with tempfile.TemporaryDirectory(prefix="lift-card-") as folder:
        target = Path(folder, "card.pdf")
        print_card(html, target, paper)
        return target.read_bytes()


def _saved_as(name: str, ending: str) -> dict[str, Any]:
    return {"content-disposition": f'attachment; filename="{name}.{ending}"'}
