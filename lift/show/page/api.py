"""The interface: what the page asks, and what any other program on this machine may ask.

One table of resources; routes and the interface's description are made from it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from msgspec import field
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from lift.answers.encode import Part
from lift.answers.plan import PlanAnswer
from lift.answers.preview import PreviewAnswer
from lift.answers.stages import StagesAnswer
from lift.errors import check_choice
from lift.show.page import records, scenarios
from lift.show.page.answers import (
    Answer,
    PreviewShown,
    StagesShown,
    answer_preview,
    answer_stages,
    to_json,
)
from lift.show.page.desk import Desk
from lift.show.page.fields import FIELDS
from lift.show.page.loose import (
    AddedAnswer,
    LearnedAnswer,
    RecordsAnswer,
    StrandAnswer,
)
from lift.show.page.plans import PlanShown, answer_plan, card
from lift.show.page.question import RefusedError, read_question, refused
from lift.show.page.records import Outcome, Said
from lift.show.page.resource import Asked, Parameter, Resource, json_reply
from lift.show.page.sessions import NAME
from lift.show.page.strands import (
    FILE,
    Looks,
    StrandShown,
    answer_strand,
    keep_strand,
    read_looks,
    strand_for,
)
from lift.words import note

STATE = "state.json"

CARD_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'"
)
"""The card is one file with its style inside, and has no script."""

PAPERS = ("A4", "Letter")


# Previews, stages, and what the page wants to find again.


async def preview(desk: Desk, asked: Asked) -> Answer:
    """Preview one strand."""
    question = read_question({k: v for k, v in asked.query.items() if k != "shown"}, desk.curves)
    strand = None
    if question.strand:
        folder = desk.sessions.folder_of(asked.token)
        strand = await run_in_threadpool(strand_for, question.hair, folder, desk.curves)
    job = partial(answer_preview, question, strand, desk.packed)
    answer, waited = await desk.quick.get_with_wait(("preview", question.key, strand), job)
    return replace(answer, waited=waited)


async def stages(desk: Desk, asked: Asked) -> Answer:
    """Table of stages."""
    return await desk.quick.get(("stages",), partial(answer_stages, desk.packed))


class State(Part):
    """What a page wants to find again."""

    state: dict[str, Any]


def read_state(desk: Desk, asked: Asked) -> Response:
    """What this browser last kept."""
    return json_reply(desk.sessions.read(asked.token, STATE) or to_json({"state": {}}))


def keep_state(desk: Desk, asked: Asked) -> Response:
    """Keep what the page wants to find again."""
    content = to_json({"state": asked.body.state})
    desk.sessions.write(asked.token, STATE, content)
    return json_reply(content)


# Scenarios, plans, the card.


class Listed(Part):
    """A scenario in the list; a demo is invented and comes with the project."""

    name: str
    demo: bool


class Scenarios(Part):
    """Scenarios that can be read."""

    scenarios: list[Listed]


class ScenarioName(Part):
    """Name of a scenario."""

    name: str


class Text(Part):
    """Text of a scenario file (TOML)."""

    text: str


class Scenario(Part):
    """One scenario."""

    name: str
    text: str


def list_scenarios(desk: Desk, asked: Asked) -> dict[str, Any]:
    """List scenarios."""
    return {"scenarios": scenarios.all_scenarios(desk.sessions, asked.token)}


def read_scenario(desk: Desk, asked: Asked) -> dict[str, Any]:
    """Read one scenario."""
    text = scenarios.read_scenario(desk.sessions, asked.token, asked.name)
    return {"name": asked.name, "text": text}


def keep_scenario(desk: Desk, asked: Asked) -> dict[str, Any]:
    """Keep one scenario."""
    known = desk.curves.mixtures
    scenarios.keep_scenario(desk.sessions, asked.token, asked.name, asked.body.text, known)
    return {"name": asked.name, "text": asked.body.text}


def delete_scenario(desk: Desk, asked: Asked) -> dict[str, Any]:
    """Forget one scenario."""
    scenarios.delete_scenario(desk.sessions, asked.token, asked.name)
    return {"name": asked.name}


async def plan(desk: Desk, asked: Asked) -> Answer:
    """Plan a service."""
    text = asked.body.text
    digest = hashlib.sha256(text.encode()).hexdigest()
    with refused("text"):
        return await desk.slow.get(("plan", digest), partial(answer_plan, text, desk.packed))


def print_card(desk: Desk, asked: Asked) -> Response:
    """Print a kept scenario's card."""
    paper = asked.query.get("paper", PAPERS[0])
    check_choice("page.paper", paper, PAPERS)
    html = card(read_scenario(desk, asked)["text"], paper, desk.packed)
    return HTMLResponse(html, headers={"content-security-policy": CARD_POLICY})


# Strand tests.


class Seen(Part):
    """A strand test as typed: what is asked, what was seen, how the next look is."""

    asked: dict[str, str]
    seen: list[str] = field(default_factory=list)
    instrument: bool = False


class Kept(Part):
    """Whether a strand test is kept."""

    kept: bool


def _looks(desk: Desk, body: Seen) -> Looks:
    question = read_question(body.asked, desk.curves)
    return read_looks(question, "minutes" in body.asked, body.seen, body.instrument)


async def strand(desk: Desk, asked: Asked) -> Answer:
    """Run a strand test."""
    looks = _looks(desk, asked.body)
    return await desk.slow.get(("strand", looks.key), partial(answer_strand, looks, desk.packed))


def has_strand(desk: Desk, asked: Asked) -> dict[str, Any]:
    """Whether a test is kept."""
    return {"kept": (desk.sessions.folder_of(asked.token) / FILE).is_file()}


def keep_strand_test(desk: Desk, asked: Asked) -> dict[str, Any]:
    """Keep a test for previews to come."""
    looks = _looks(desk, asked.body)
    if not looks.seen:
        raise RefusedError({"seen": note("page.strand.nothing")})
    keep_strand(looks, desk.curves, desk.sessions.make_folder(asked.token))
    return {"kept": True}


def forget_strand(desk: Desk, asked: Asked) -> dict[str, Any]:
    """Forget the kept test."""
    desk.sessions.delete(asked.token, FILE)
    return {"kept": False}


# The record.


class Learn(Part):
    """Which records to learn from."""

    invented: bool = False


class Deleted(Part):
    """How many records are gone."""

    deleted: int


def _folder(desk: Desk, asked: Asked) -> Path:
    return desk.sessions.folder_of(asked.token)


def list_records(desk: Desk, asked: Asked) -> Response:
    """List the session's records."""
    return json_reply(records.list_records(_folder(desk, asked), desk.curves.mixtures).encode())


def csv_records(desk: Desk, asked: Asked) -> Response:
    """List the session's records for a spreadsheet."""
    headers = {"content-disposition": 'attachment; filename="records.csv"'}
    text = records.csv_records(_folder(desk, asked), desk.curves.mixtures)
    return Response(text, media_type="text/csv", headers=headers)


def add_record(desk: Desk, asked: Asked) -> Answer:
    """Append a record."""
    record = records.read_record(read_question(asked.body.asked, desk.curves), asked.body)
    return records.add_record(record, desk.sessions.make_folder(asked.token), desk.curves)


def delete_records(desk: Desk, asked: Asked) -> dict[str, Any]:
    """Delete one record, a client's, or all, for good."""
    return {"deleted": records.delete_records(_folder(desk, asked), asked.query)}


def learn(desk: Desk, asked: Asked) -> Answer:
    """Learn from the session's records."""
    return records.learn_records(_folder(desk, asked), desk.curves, asked.body.invented)


# All of it.

ONE = "/api/scenarios/{name}"
KEPT = "/api/strand/kept"
WHICH = (
    Parameter("number", {"type": "integer", "minimum": 1}),
    Parameter("client", {"type": "string"}),
    Parameter("everything", {"enum": ["true"]}),
)
PAPER = (Parameter("paper", {"enum": [*PAPERS]}),)
NAMED = Parameter("name", {"type": "string", "pattern": NAME.pattern})
"""The name in an address."""

RESOURCES = (
    Resource("GET", "/api/preview", preview, PreviewAnswer, PreviewShown, FIELDS, refusals=(409,)),
    Resource("GET", "/api/stages", stages, StagesAnswer, StagesShown),
    Resource("GET", "/api/state", read_state, State),
    Resource("PUT", "/api/state", keep_state, State, body=State, refusals=(507,)),
    Resource("GET", "/api/scenarios", list_scenarios, Scenarios),
    Resource("GET", ONE, read_scenario, Scenario, refusals=(404,)),
    Resource("PUT", ONE, keep_scenario, Scenario, body=Text, refusals=(507,)),
    Resource("DELETE", ONE, delete_scenario, ScenarioName, refusals=(404,)),
    Resource("POST", "/api/plan", plan, PlanAnswer, PlanShown, body=Text),
    Resource("GET", "/card/{name}", print_card, query=PAPER),
    Resource("POST", "/api/strand", strand, StrandAnswer, StrandShown, body=Seen, refusals=(409,)),
    Resource("GET", KEPT, has_strand, Kept),
    Resource("PUT", KEPT, keep_strand_test, Kept, body=Seen, refusals=(409, 507)),
    Resource("DELETE", KEPT, forget_strand, Kept),
    Resource("GET", "/api/records", list_records, RecordsAnswer),
    Resource("POST", "/api/records", add_record, AddedAnswer, Said, (), Outcome, (409, 507)),
    Resource("DELETE", "/api/records", delete_records, Deleted, query=WHICH, refusals=(404,)),
    Resource("GET", "/api/records.csv", csv_records),
    Resource("POST", "/api/learn", learn, LearnedAnswer, Said, body=Learn, refusals=(409,)),
)


def routes(desk: Desk) -> Iterator[Route]:
    """Routes of all resources."""
    for resource in RESOURCES:
        yield resource.route(desk)
        if resource.shown is not None:
            # Where it was with words and colours up to version 0.1; for one version more.
            yield resource.route(desk, resource.path.replace("/api/", "/api/shown/"), shown=True)
