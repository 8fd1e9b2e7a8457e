"""Scenario files of a session, and the invented ones that come with the project."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import lift
from lift.answers.encode import Part
from lift.practice.scenario.scenario_file import parse_scenario
from lift.show.page.desk import Asked, Desk
from lift.show.page.question import RefusedError, refused
from lift.show.page.sessions import check_name
from lift.words import note

FOLDER, SUFFIX = "scenarios", ".toml"
MISSING = 404


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


@cache
def demos() -> dict[str, str]:
    """Text of each demo scenario by name; empty where the project's folder is not at hand."""
    folder = Path(lift.__file__).parents[1] / "shared"
    return {
        path.stem.replace("_", "-"): path.read_text("utf-8")
        for path in sorted(folder.glob(f"*{SUFFIX}"))
    }


def list_scenarios(desk: Desk, asked: Asked) -> dict[str, Any]:
    """Names of what the session has, then of the demos."""
    own = desk.sessions.names(asked.token, FOLDER, SUFFIX)
    rows = [{"name": name, "demo": False} for name in own]
    demo = [{"name": name, "demo": True} for name in demos() if name not in own]
    return {"scenarios": rows + demo}


def read_scenario(desk: Desk, asked: Asked) -> dict[str, Any]:
    """Read the session's own scenario of that name, or the demo."""
    own = desk.sessions.read(asked.token, _file(asked.name))
    text = demos().get(asked.name) if own is None else own.decode()
    if text is None:
        missing = note("page.scenario.none", name=asked.name[:40])
        raise RefusedError({"name": missing}, MISSING)
    return {"name": asked.name, "text": text}


def keep_scenario(desk: Desk, asked: Asked) -> dict[str, Any]:
    """Keep a text that can be read as a scenario; refused at its line and key."""
    file, text = _file(asked.name, 422), asked.body.text
    with refused("text"):
        parse_scenario(text, classes=desk.curves.mixtures)
    desk.sessions.write(asked.token, file, text.encode())
    return {"name": asked.name, "text": text}


def delete_scenario(desk: Desk, asked: Asked) -> dict[str, Any]:
    """Forget a scenario of the session."""
    if not desk.sessions.delete(asked.token, _file(asked.name)):
        raise RefusedError({"name": note("page.scenario.not_own", name=asked.name)}, MISSING)
    return {"name": asked.name}


def _file(name: str, status: int = MISSING) -> str:
    with refused("name", status):
        return f"{FOLDER}/{check_name(name)}{SUFFIX}"
