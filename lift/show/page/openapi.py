"""OpenAPI 3.1 description of the interface, made from the same table of fields as the form."""

from __future__ import annotations

from functools import cache
from typing import Any

from lift import __version__
from lift.show.page.fields import FIELDS

Schema = dict[str, Any]

NUMBER: Schema = {"type": "number"}
TEXT: Schema = {"type": "string"}
MAYBE: Schema = {"type": ["number", "null"]}
LAB: Schema = {"type": "array", "items": NUMBER, "minItems": 3, "maxItems": 3}


def a_list(items: Schema) -> Schema:
    """Schema of a list."""
    return {"type": "array", "items": items}


def an_object(**properties: Schema) -> Schema:
    """Schema of an object with exactly these keys."""
    return {
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


BAND = an_object(low=NUMBER, median=NUMBER, high=NUMBER)
CURVE_SET = {"type": "object", "required": ["name", "status", "provenance"]}
TONE = an_object(
    hue_deg=NUMBER,
    munsell=TEXT,
    wheel=TEXT,
    amount=NUMBER,
    needed={"type": "boolean"},
    excess=TEXT,
    change=LAB,
)
INPUTS = an_object(
    level=NUMBER,
    fibre_um=NUMBER,
    damp={"type": "boolean"},
    grey_percent=NUMBER,
    pheomelanin_share=NUMBER,
    lightened_to=MAYBE,
    mixture=TEXT,
    volume=NUMBER,
    developer_parts=NUMBER,
    on_head_volume=NUMBER,
    ph=NUMBER,
    temperature_c=NUMBER,
    tone={"type": "object", "additionalProperties": NUMBER},
    minutes=NUMBER,
    goal=TEXT,
    goal_level=NUMBER,
    warmth_limit=NUMBER,
)
PAIR: Schema = {"type": ["array", "null"], "items": MAYBE, "minItems": 2, "maxItems": 2}
WINDOW = an_object(
    opens=MAYBE,
    closes=MAYBE,
    closes_by={"enum": ["warmth", "time limit", "none"]},
    opens_range=PAIR,
    closes_range=PAIR,
    reached_at=MAYBE,
    too_warm_at=MAYBE,
    best_minutes=NUMBER,
    p_best=NUMBER,
    goal=TEXT,
    warmth_limit=NUMBER,
    advice=a_list(TEXT),
)
PREVIEW = an_object(
    inputs=INPUTS,
    at=an_object(
        minutes=NUMBER,
        lab=an_object(median=LAB, low=LAB, high=LAB),
        level=BAND,
        lift=BAND,
        stage=TEXT,
        warmth=BAND,
        hue_deg=NUMBER,
        p_too_warm=NUMBER,
    ),
    curve=an_object(
        minutes=a_list(NUMBER),
        lab=a_list(LAB),
        level=a_list(NUMBER),
        warmth=a_list(NUMBER),
        warmth_low=a_list(NUMBER),
        warmth_high=a_list(NUMBER),
        p_too_warm=a_list(NUMBER),
    ),
    window=WINDOW,
    tone=TONE,
    cautions=a_list(TEXT),
    curve_set=CURVE_SET,
)
SCREEN: Schema = {"type": "string", "pattern": "^#[0-9a-f]{6}$"}
PREVIEW_SHOWN = an_object(
    risk=TEXT,
    chance=TEXT,
    window=TEXT,
    level=TEXT,
    underpigment=TEXT,
    warmth=TEXT,
    tone=TEXT,
    notes=a_list(TEXT),
    colour_before=SCREEN,
    colour_now=SCREEN,
    colours=a_list(SCREEN),
)
STAGES = an_object(
    stages=a_list(
        an_object(level=NUMBER, natural=LAB, underpigment=LAB, warmth=NUMBER, stage=TEXT, tone=TONE)
    ),
    cautions=a_list(TEXT),
    curve_set=CURVE_SET,
)
STAGES_SHOWN = an_object(natural=a_list(SCREEN), underpigment=a_list(SCREEN))
ERRORS = an_object(errors=a_list(an_object(field=TEXT, message=TEXT)))
STATE = an_object(state={"type": "object"})

REFUSALS = {
    "400": "The body is not valid JSON.",
    "403": "The request comes from another site.",
    "404": "There is nothing of that name.",
    "409": "Each value is fine by itself, but not together with the others.",
    "413": "The body is too large.",
    "414": "The query is too long.",
    "415": "The body is not application/json.",
    "422": "A value cannot be accepted.",
    "507": "There is no room to keep more.",
}


def operation(
    summary: str,
    result: Schema,
    refusals: tuple[str, ...] = (),
    *,
    body: Schema | None = None,
    parameters: list[Schema] | None = None,
) -> Schema:
    """Describe one operation."""
    made: Schema = {
        "summary": summary,
        "responses": {
            "200": {"description": "The answer.", "content": _json(result)},
            **{
                code: {"description": REFUSALS[code], "content": _json(_ref("Errors"))}
                for code in ("403", *refusals)
            },
        },
    }
    if parameters:
        made["parameters"] = parameters
    if body is not None:
        made["requestBody"] = {"required": True, "content": _json(body)}
    return made


def _json(schema: Schema) -> Schema:
    return {"application/json": {"schema": schema}}


def _ref(name: str) -> Schema:
    return {"$ref": f"#/components/schemas/{name}"}


def _query() -> list[Schema]:
    return [
        {
            "name": field.name,
            "in": "query",
            "description": field.about + (f" [{field.unit}]" if field.unit else ""),
            "required": False,
            "schema": field.schema,
        }
        for field in FIELDS
    ]


@cache
def description() -> Schema:
    """Return the whole description."""
    asked = ("409", "414", "422")
    kept = ("400", "413", "415", "422", "507")
    shown = an_object(answer=_ref("Preview"), shown=PREVIEW_SHOWN)
    stages_shown = an_object(answer=_ref("Stages"), shown=STAGES_SHOWN)
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "lift",
            "version": __version__,
            "description": "Estimates only: allergy and strand test first, follow the maker's "
            "directions, stop on pain.",
        },
        "paths": {
            "/api/preview": {
                "get": operation(
                    "Preview one strand; as lift preview --json",
                    _ref("Preview"),
                    asked,
                    parameters=_query(),
                )
            },
            "/api/shown/preview": {
                "get": operation(
                    "The same with words and screen colours", shown, asked, parameters=_query()
                )
            },
            "/api/stages": {
                "get": operation("Table of stages; as lift stages --json", _ref("Stages"))
            },
            "/api/shown/stages": {"get": operation("The same with screen colours", stages_shown)},
            "/api/state": {
                "get": operation("What this browser last kept", _ref("State")),
                "put": operation(
                    "Keep something for this browser", _ref("State"), kept, body=_ref("State")
                ),
            },
        },
        "components": {
            "schemas": {
                "Preview": PREVIEW,
                "Stages": STAGES,
                "Errors": ERRORS,
                "State": STATE,
            }
        },
    }
