"""OpenAPI 3.1 description of the interface, made from the same table of fields as the form."""

from __future__ import annotations

from functools import cache

from lift import __version__
from lift.show.page import schemas
from lift.show.page.fields import FIELDS
from lift.show.page.schemas import FLAG, TEXT, Schema, a_list, an_object
from lift.show.page.sessions import NAME

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


ANSWERS = {
    "Preview": schemas.PREVIEW,
    "Stages": schemas.STAGES,
    "Plan": schemas.PLAN,
    "Strand": schemas.STRAND,
    "Records": schemas.RECORDS,
    "Added": schemas.ADDED,
    "Learned": schemas.LEARNED,
    "State": schemas.STATE,
    "Errors": schemas.ERRORS,
}

ASKED = ("409", "414", "422")
SENT = ("400", "413", "415", "422")
KEPT = (*SENT, "507")
MANY_TEXTS: Schema = {"type": "object", "additionalProperties": TEXT}


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


def _named(name: str, where: str, schema: Schema, about: str) -> Schema:
    return {
        "name": name,
        "in": where,
        "required": where == "path",
        "description": about,
        "schema": schema,
    }


def _shown(name: str, shown: Schema) -> Schema:
    return an_object(answer=_ref(name), shown=shown)


def _object(need: tuple[str, ...], **properties: Schema) -> Schema:
    return {
        "type": "object",
        "properties": properties,
        "required": list(need),
        "additionalProperties": False,
    }


def _asked_paths() -> Schema:
    shown = "The same with words and screen colours"
    return {
        "/api/preview": {
            "get": operation(
                "Preview one strand; as lift preview --json",
                _ref("Preview"),
                ASKED,
                parameters=_query(),
            )
        },
        "/api/shown/preview": {
            "get": operation(
                shown, _shown("Preview", schemas.PREVIEW_SHOWN), ASKED, parameters=_query()
            )
        },
        "/api/stages": {"get": operation("Table of stages; as lift stages --json", _ref("Stages"))},
        "/api/shown/stages": {"get": operation(shown, _shown("Stages", schemas.STAGES_SHOWN))},
        "/api/state": {
            "get": operation("What this browser last kept", _ref("State")),
            "put": operation(
                "Keep something for this browser", _ref("State"), KEPT, body=_ref("State")
            ),
        },
    }


def _plan_paths() -> Schema:
    text = _object(("text",), text=TEXT)
    scenario = an_object(name=TEXT, text=TEXT)
    name = _named(
        "name", "path", {"type": "string", "pattern": NAME.pattern}, "Name of a scenario."
    )
    listed = an_object(scenarios=a_list(an_object(name=TEXT, demo=FLAG)))
    return {
        "/api/scenarios": {"get": operation("Scenarios kept, and the invented ones", listed)},
        "/api/scenarios/{name}": {
            "parameters": [name],
            "get": operation("Read a scenario (TOML)", scenario, ("404",)),
            "put": operation("Keep a scenario (TOML)", scenario, KEPT, body=text),
            "delete": operation("Forget a scenario", an_object(name=TEXT), ("404",)),
        },
        "/api/plan": {
            "post": operation(
                "Plan a service; as lift plan FILE --json", _ref("Plan"), SENT, body=text
            )
        },
        "/api/shown/plan": {
            "post": operation(
                "The same with words, screen colours and the clock's tables",
                _shown("Plan", schemas.PLAN_SHOWN),
                SENT,
                body=text,
            )
        },
    }


def _strand_paths() -> Schema:
    looks = _object(("asked",), asked=MANY_TEXTS, seen=a_list(TEXT), instrument=FLAG)
    kept = an_object(kept=FLAG)
    asked = (*SENT, "409")
    return {
        "/api/strand": {
            "post": operation(
                "Strand test; as lift strand --json", _ref("Strand"), asked, body=looks
            )
        },
        "/api/shown/strand": {
            "post": operation(
                "The same with words and screen colours",
                _shown("Strand", schemas.STRAND_SHOWN),
                asked,
                body=looks,
            )
        },
        "/api/strand/kept": {
            "get": operation("Whether a strand test is kept", kept),
            "put": operation("Keep a strand test for previews", kept, (*KEPT, "409"), body=looks),
            "delete": operation("Forget the kept strand test", kept),
        },
    }


def _record_paths() -> Schema:
    done = _object(
        ("asked", "seen"),
        asked=MANY_TEXTS,
        seen=TEXT,
        client=TEXT,
        date=TEXT,
        zone=TEXT,
        invented=FLAG,
    )
    said = an_object(text=TEXT)
    which = [
        _named("number", "query", {"type": "integer", "minimum": 1}, "Number of one record."),
        _named("client", "query", TEXT, "Code of a client."),
        _named("everything", "query", {"enum": ["true"]}, "All records."),
    ]
    learn = _object((), invented=FLAG)
    added, learned = (*KEPT, "409"), (*SENT, "409")
    return {
        "/api/records": {
            "get": operation("Records; as lift record list --json", _ref("Records")),
            "post": operation(
                "Append a record; as lift record add --json", _ref("Added"), added, body=done
            ),
            "delete": operation(
                "Delete records for good: give one of the three",
                an_object(deleted={"type": "integer"}),
                ("404", "422"),
                parameters=which,
            ),
        },
        "/api/shown/records": {
            "post": operation(
                "Append a record; with the words of the terminal",
                _shown("Added", said),
                added,
                body=done,
            )
        },
        "/api/learn": {
            "post": operation(
                "Learn from the records; as lift record learn --json",
                _ref("Learned"),
                learned,
                body=learn,
            )
        },
        "/api/shown/learn": {
            "post": operation(
                "The same with the words of the terminal",
                _shown("Learned", said),
                learned,
                body=learn,
            )
        },
    }


@cache
def description() -> Schema:
    """Return the whole description."""
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "lift",
            "version": __version__,
            "description": "Estimates only: allergy and strand test first, follow the maker's "
            "directions, stop on pain.",
        },
        "paths": {**_asked_paths(), **_plan_paths(), **_strand_paths(), **_record_paths()},
        "components": {"schemas": ANSWERS},
    }
