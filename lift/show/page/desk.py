"""What all handlers share."""

from __future__ import annotations

import pickle
from concurrent.futures import Executor
from contextlib import suppress
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from lift.errors import LiftError
from lift.files import write_whole
from lift.model.curves import CurveSet, load_curves
from lift.practice.visit.home import FILE
from lift.show.page.answer import Answer
from lift.show.page.sessions import Sessions
from lift.show.page.work import Work

REMEMBER_QUICK = 1024
"""Previews kept; each is about 16 kB."""

REMEMBER_SLOW = 24
"""Plans and strand tests kept; each is up to 300 kB."""

TAUGHT = "taught.toml"
"""Curve set that visits taught, in the page's data folder; answers rest on it while it is there."""


@dataclass(frozen=True)
class Desk:
    """Curve set, as it is and pickled for other processes; work and sessions.

    What is `quick` are previews; plans and strand tests are `slow`, so that no preview waits. The
    file of `visits` is shared by all sessions; on the `shelf` lies what the list shows of each, by
    its number and revision. Its `teaching` has the desk that answers in its place while the page
    goes by what visits taught.
    """

    curves: CurveSet
    packed: bytes
    quick: Work[Answer]
    slow: Work[Answer]
    sessions: Sessions
    visits: Path
    teaching: Teaching
    shelf: dict[tuple[int, int], Any] = field(default_factory=dict)

    @property
    def answering(self) -> Desk:
        """The desk that answers now: this one, or that of what visits taught."""
        return self.teaching.desk or self

    def with_curves(self, curves: CurveSet) -> Desk:
        """The same with another curve set, which remembers no answer of this one."""
        return replace(
            self,
            curves=curves,
            packed=pickle.dumps(curves),
            quick=self.quick.fresh(),
            slow=self.slow.fresh(),
            shelf={},
        )

    def folder(self, asked: Asked) -> Path:
        """Folder of the session that asks; it need not exist yet."""
        return self.sessions.folder_of(asked.token)


class Teaching:
    """What visits taught: a curve set in a file, and the desk that answers from it, if any.

    The file is read when the page starts, so that what was switched on stays so.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._base: Desk | None = None
        self.desk: Desk | None = None

    def start(self, base: Desk) -> None:
        """Answer for a desk, from the file where there is one that can be read."""
        self._base = base
        with suppress(LiftError):
            self._load()

    @property
    def base(self) -> Desk:
        """The desk without what visits taught."""
        assert self._base is not None  # started with the desk
        return self._base

    def take(self, text: bytes) -> None:
        """Answer from a curve set, given as the text of its file, from now on."""
        write_whole(self._path, text, "file.curve_set", private=True)
        self._load()

    def forget(self) -> None:
        """Answer without what visits taught from now on."""
        self._path.unlink(missing_ok=True)
        self.desk = None

    def _load(self) -> None:
        if self._path.is_file():
            curves = load_curves(self._path).with_mixtures(self.base.curves.mixtures)
            self.desk = self.base.with_curves(curves)


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
    teaching = Teaching(sessions.data / TAUGHT)
    desk = Desk(curves, packed, *works, sessions, sessions.data / FILE, teaching)
    teaching.start(desk)
    return desk
