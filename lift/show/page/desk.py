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
    curves, packed : CurveSet, bytes
        Used for every answer; pickled, as it travels to another process.
    quick, slow : Work
        Computes previews; and plans and strand tests, so that no preview has to wait for them.
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
    packed = pickle.dumps(curves)
    return Desk(curves, packed, Work(quick, REMEMBER_QUICK), Work(slow, REMEMBER_SLOW), sessions)
