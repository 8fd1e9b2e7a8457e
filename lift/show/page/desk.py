"""What all handlers share."""

from __future__ import annotations

import pickle
from concurrent.futures import Executor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from lift.model.curves import CurveSet
from lift.practice.visit.home import FILE
from lift.show.page.answer import Answer
from lift.show.page.sessions import Sessions
from lift.show.page.work import Work

REMEMBER_QUICK = 1024
"""Previews kept; each is about 16 kB."""

REMEMBER_SLOW = 24
"""Plans and strand tests kept; each is up to 300 kB."""


@dataclass(frozen=True)
class Desk:
    """Curve set, as it is and pickled for other processes; work and sessions.

    What is `quick` are previews; plans and strand tests are `slow`, so that no preview waits. The
    file of `visits` is shared by all sessions; on the `shelf` lies what the list shows of each, by
    its number and revision.
    """

    curves: CurveSet
    packed: bytes
    quick: Work[Answer]
    slow: Work[Answer]
    sessions: Sessions
    visits: Path
    shelf: dict[tuple[int, int], Any] = field(default_factory=dict)

    def folder(self, asked: Asked) -> Path:
        """Folder of the session that asks; it need not exist yet."""
        return self.sessions.folder_of(asked.token)


@dataclass(frozen=True)
class Asked:
    """One request, read: whose, the name in its address, its query and its body."""

    token: str
    name: str
    query: dict[str, str]
    body: Any = None


def make_desk(curves: CurveSet, sessions: Sessions, quick: Executor, slow: Executor) -> Desk:
    """Put a desk together."""
    packed = pickle.dumps(curves)
    works = Work[Answer](quick, REMEMBER_QUICK), Work[Answer](slow, REMEMBER_SLOW)
    return Desk(curves, packed, *works, sessions, sessions.data / FILE)
