"""Scenario files of a session, and the invented ones that come with the project."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import lift
from lift.errors import LiftError
from lift.practice.service.scenario_file import parse_scenario
from lift.show.page.sessions import Sessions, check_name

FOLDER, SUFFIX = "scenarios", ".toml"


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


def read_scenario(sessions: Sessions, token: str, name: str) -> str | None:
    """Text of the session's own scenario of that name, or of the demo; None when there is none."""
    own = sessions.read(token, f"{FOLDER}/{check_name(name)}{SUFFIX}")
    return demos().get(name) if own is None else own.decode()


def keep_scenario(sessions: Sessions, token: str, name: str, text: str) -> None:
    """Keep a scenario that can be read as one.

    Raises
    ------
    LiftError
        For a harmful name, or a text that is no scenario, naming line and key.
    """
    check_name(name)
    parse_scenario(text)
    sessions.write(token, f"{FOLDER}/{name}{SUFFIX}", text.encode())


def delete_scenario(sessions: Sessions, token: str, name: str) -> None:
    """Forget a scenario of the session.

    Raises
    ------
    LiftError
        When it has none of that name.
    """
    if not sessions.delete(token, f"{FOLDER}/{check_name(name)}{SUFFIX}"):
        raise LiftError(f"there is no scenario {name!r} of yours")
