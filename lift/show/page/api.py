"""The interface: what the page asks, and what any other program on this machine may ask.

One table of resources; routes and the interface's description are made from it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Annotated, Literal

from msgspec import Meta
from starlette.routing import Route

from lift.answers.measure import MeasureAnswer
from lift.answers.plan import PlanAnswer
from lift.answers.preview import PreviewAnswer
from lift.answers.stages import StagesAnswer
from lift.answers.tone import ToneAnswer
from lift.practice.visit.codes import NAME
from lift.show.card.html import PAPERS
from lift.show.page.after import AfterAnswer, History, NextAnswer, after, history, next_day
from lift.show.page.asked_visit import VisitAsked
from lift.show.page.cards import photo_guide, visit_calendar, visit_card, visit_card_pdf
from lift.show.page.clocks import ClockAnswer, clock
from lift.show.page.desk import Desk
from lift.show.page.fields import FIELDS, Field
from lift.show.page.levels import StagesShown, stages
from lift.show.page.measure import CONTENT, PLACES, MeasureShown, measure
from lift.show.page.options import OptionsAnswer, options
from lift.show.page.pictures import (
    NUMBER,
    ZONE,
    PicturesAnswer,
    delete_picture,
    keep_picture,
    list_pictures,
    picture,
)
from lift.show.page.plans import PlanShown, plan
from lift.show.page.previews import (
    MOVING,
    PreviewShown,
    preview,
)
from lift.show.page.records import csv_records
from lift.show.page.resource import Parameter, Resource
from lift.show.page.taught import Switch, Taught, read_taught, switch_taught
from lift.show.page.tones import ToneAsked, ToneShown, tone
from lift.show.page.visits import (
    NewVisit,
    VisitAnswer,
    VisitGiven,
    VisitName,
    VisitsAnswer,
    delete_visit,
    keep_visit,
    list_visits,
    new_visit,
    read_visit,
)

VISIT = "/api/visits/{name}"
PICTURES = f"{VISIT}/pictures"
PAPER = (Parameter("paper", Literal[*PAPERS]),)
TIME = (Parameter("at", Annotated[str, Meta(pattern=r"^([01]\d|2[0-3]):[0-5]\d$")]),)
NAMED = Parameter("name", Annotated[str, Meta(pattern=f"^{NAME.pattern}$")])
"""The name in an address."""

ASKED: tuple[Parameter | Field, ...] = (*FIELDS, MOVING)
"""What the query of a preview may hold."""

RESOURCES = (
    Resource("GET", "/api/visits", list_visits, VisitsAnswer),
    Resource("POST", "/api/visits", new_visit, VisitAnswer, body=NewVisit, refusals=(404,)),
    Resource("GET", VISIT, read_visit, VisitAnswer, refusals=(404,)),
    Resource("PUT", VISIT, keep_visit, VisitAnswer, body=VisitGiven, refusals=(404, 409)),
    Resource("DELETE", VISIT, delete_visit, VisitName, refusals=(404,)),
    Resource("GET", "/api/preview", preview, PreviewAnswer, PreviewShown, ASKED, refusals=(409,)),
    Resource("GET", "/api/stages", stages, StagesAnswer, StagesShown),
    Resource("POST", "/api/options", options, OptionsAnswer, body=VisitAsked),
    Resource("POST", "/api/plan", plan, PlanAnswer, PlanShown, body=VisitAsked),
    Resource("POST", "/api/tone", tone, ToneAnswer, ToneShown, body=ToneAsked),
    Resource("POST", "/api/after", after, AfterAnswer, body=VisitAsked),
    Resource("POST", "/api/next", next_day, NextAnswer, body=VisitAsked),
    Resource("GET", f"{VISIT}/history", history, History, refusals=(404,)),
    Resource("GET", "/card/{name}.pdf", visit_card_pdf, query=PAPER, refusals=(404,)),
    Resource("GET", "/card/{name}", visit_card, query=PAPER, refusals=(404,)),
    Resource("GET", "/visits/{name}.ics", visit_calendar, query=TIME, refusals=(404,)),
    Resource("GET", "/guide", photo_guide, query=PAPER),
    Resource("GET", "/api/taught", read_taught, Taught),
    Resource("PUT", "/api/taught", switch_taught, Taught, body=Switch, refusals=(409,)),
    Resource("POST", "/api/measure", measure, MeasureAnswer, MeasureShown, PLACES, content=CONTENT),
    Resource("GET", PICTURES, list_pictures, PicturesAnswer, refusals=(404,)),
    Resource(
        "POST",
        PICTURES,
        keep_picture,
        PicturesAnswer,
        query=(*PLACES, ZONE),
        content=CONTENT,
        refusals=(404,),
    ),
    Resource("DELETE", PICTURES, delete_picture, PicturesAnswer, query=NUMBER, refusals=(404,)),
    Resource("GET", "/pictures/{name}.jpg", picture, query=NUMBER, refusals=(404,)),
    Resource("POST", "/api/clock", clock, ClockAnswer, body=VisitAsked),
    Resource("GET", "/api/records.csv", csv_records),
)


LARGE = tuple(
    (each.method, re.compile(each.path.replace("{name}", "[^/]+")), each.content.most)
    for each in RESOURCES
    if each.content is not None
)
"""What may be sent that is no JSON: method, form of the path, and bytes."""


def largest(method: str, path: str) -> int | None:
    """How many bytes of what is no JSON may be sent there; None where none are."""
    for sent, form, most in LARGE:
        if sent == method and form.fullmatch(path):
            return most
    return None


def routes(desk: Desk) -> Iterator[Route]:
    """Routes of all resources."""
    for resource in RESOURCES:
        yield resource.route(desk)
        if resource.shown is not None:
            # Where it was with words and colours up to version 0.1; for one version more.
            yield resource.route(desk, resource.path.replace("/api/", "/api/shown/"), shown=True)
