"""Scenario files of a session, and the invented ones that come with the project."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import lift
from lift.model.mixtures import MixtureClasses
from lift.practice.service.scenario_file import parse_scenario
from lift.show.page.question import RefusedError, refused
from lift.show.page.sessions import Sessions, check_name
from lift.words import note

FOLDER, SUFFIX = "scenarios", ".toml"
MISSING = 404


@cache
def demos() -> dict[str, str]:
    """Text of each demo scenario by name; empty where the project's folder is not at hand."""
    folder = Path(lift.__file__).parents[1] / "shared"
    return {
        path.stem.replace("_", "-"): path.read_text("utf-8")
        for path in sorted(folder.glob(f"*{SUFFIX}"))
    }


def all_scenarios(sessions: Sessions, token: str) -> list[dict[str, Any]]:
    """Names of what the session has, then of the demos."""
    own = sessions.names(token, FOLDER, SUFFIX)
    rows = [{"name": name, "demo": False} for name in own]
    return rows + [{"name": name, "demo": True} for name in demos() if name not in own]


def read_scenario(sessions: Sessions, token: str, name: str) -> str:
    """Text of the session's own scenario of that name, or of the demo."""
    own = sessions.read(token, _file(name))
    text = demos().get(name) if own is None else own.decode()
    if text is None:
        raise RefusedError({"name": note("page.scenario.none", name=name[:40])}, MISSING)
    return text


def keep_scenario(
    sessions: Sessions, token: str, name: str, text: str, classes: MixtureClasses | None = None
) -> None:
    """Keep a text that can be read as a scenario; refused at its line and key."""
    file = _file(name, 422)
    with refused("text"):
        parse_scenario(text, classes=classes)
    sessions.write(token, file, text.encode())


def delete_scenario(sessions: Sessions, token: str, name: str) -> None:
    """Forget a scenario of the session."""
    if not sessions.delete(token, _file(name)):
        raise RefusedError({"name": note("page.scenario.not_own", name=name)}, MISSING)


def _file(name: str, status: int = MISSING) -> str:
    with refused("name", status):
        return f"{FOLDER}/{check_name(name)}{SUFFIX}"
