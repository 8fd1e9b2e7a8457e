"""OpenAPI 3.1 description of the interface, made from its table of resources."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from lift import __version__
from lift.answers.encode import schemas
from lift.model.mixtures import mixture_classes
from lift.show.page.api import NAMED, RESOURCES
from lift.show.page.fields import BY_NAME, Field
from lift.show.page.resource import Errors, Parameter, Resource
from lift.words import say

Schema = dict[str, Any]


def description(kinds: Iterable[str] | None = None) -> Schema:
    """Return the whole description; `kinds` are the classes of mixture in force."""
    kind = BY_NAME["mixture"].among(mixture_classes() if kinds is None else kinds)
    described = [r for r in RESOURCES if r.answer is not None]
    used = {t: None for r in described for t in (r.answer, r.shown, r.body) if t is not None}
    types = [*used, Errors]
    found, components = schemas(types)
    schema_of = dict(zip(types, found, strict=True))
    paths: dict[str, Schema] = {}
    for resource in described:
        item = paths.setdefault(resource.path, {})
        if "{name}" in resource.path:
            item["parameters"] = [_parameter(NAMED, "path")]
        item[resource.method.lower()] = _operation(resource, schema_of, {kind.name: kind})
    return {
        "openapi": "3.1.0",
        "info": {"title": "lift", "version": __version__, "description": say("page.api.about")},
        "paths": paths,
        "components": {"schemas": components},
    }


def _operation(
    resource: Resource, schema_of: dict[type, Schema], own: Mapping[str, Field]
) -> Schema:
    assert resource.answer is not None
    answer = schema_of[resource.answer]
    if resource.shown is not None:
        both = {"answer": answer, "shown": schema_of[resource.shown]}
        required: Schema = {"required": [*both], "additionalProperties": False}
        answer = {"anyOf": [answer, {"type": "object", "properties": both, **required}]}
    refusals = {
        str(status): _reply(f"page.api.{status}", schema_of[Errors]) for status in resource.statuses
    }
    made: Schema = {
        "summary": say(f"page.api.{resource.handler.__name__}"),
        "responses": {"200": _reply("page.api.answer", answer), **refusals},
    }
    if resource.parameters:
        made["parameters"] = [_parameter(own.get(p.name, p), "query") for p in resource.parameters]
    if resource.body is not None:
        made["requestBody"] = {"required": True, "content": _json(schema_of[resource.body])}
    if resource.content is not None:
        # As the specification has it, bytes need no schema.
        kinds: Schema = {kind: {} for kind in resource.content.kinds}
        made["requestBody"] = {"required": True, "content": kinds}
    return made


def _reply(code: str, schema: Schema) -> Schema:
    return {"description": say(code), "content": _json(schema)}


def _json(schema: Schema) -> Schema:
    return {"application/json": {"schema": schema}}


def _parameter(parameter: Parameter | Field, where: str) -> Schema:
    return {
        "name": parameter.name,
        "in": where,
        "required": where == "path" or getattr(parameter, "required", False),
        "description": parameter.about,
        "schema": schemas([parameter.type])[0][0],
    }
