"""What all handlers share."""

from __future__ import annotations

import pickle
from concurrent.futures import Executor
from dataclasses import dataclass

from lift.model.curves import CurveSet
from lift.show.page.answers import Answer
from lift.show.page.sessions import Sessions
from lift.show.page.work import Work

REMEMBER_QUICK = 1024
"""Previews kept; each is about 16 kB."""

REMEMBER_SLOW = 24
"""Plans and strand tests kept; each is up to 300 kB."""


@dataclass(frozen=True)
class Desk:
    """Curve set, work and sessions.

    Parameters
    ----------
    curves : CurveSet
        Used for every answer.
    packed : bytes
        The same, pickled, as it travels to another process.
    quick : Work
        Computes previews.
    slow : Work
        Computes plans and strand tests, so that no preview has to wait for them.
    sessions : Sessions
        What each browser keeps.
    """

    curves: CurveSet
    packed: bytes
    quick: Work[Answer]
    slow: Work[Answer]
    sessions: Sessions


def make_desk(curves: CurveSet, sessions: Sessions, quick: Executor, slow: Executor) -> Desk:
    """Put a desk together."""
    quick_work: Work[Answer] = Work(quick, REMEMBER_QUICK)
    slow_work: Work[Answer] = Work(slow, REMEMBER_SLOW)
    return Desk(curves, pickle.dumps(curves), quick_work, slow_work, sessions)
