"""Face of the clock: how what comes next stands in time, and which presses are asked about."""

from __future__ import annotations

from dataclasses import dataclass

from lift.practice.service.clock import Action

READY_MINUTES = 1.0
"""From when on hands get ready for what is due [min]: a press before then is asked about (assumed).
"""


@dataclass(frozen=True)
class Face:
    """How an action stands in time.

    Its `state` is ``wait``, ``soon`` or ``now``, ``late`` once hands have had their time, or
    ``done``; `minutes` is what the face shows, and it `counts` ``until`` it is due, how much is
    ``left`` for it, ``since`` it was due, or by how much it is ``over``.
    """

    state: str
    minutes: float
    counts: str


def face(action: Action, now: float, hands_minutes: float) -> Face:
    """Read an action off the clock.

    A rinse is asked for from its due time until its latest, and for as long as hands need where
    these are one; only then is it late. What else there is to do is behind once hands have had
    that time, but looks, and a toner's rinse, for which the maker's minutes count.

    Parameters
    ----------
    action : Action
        What comes next.
    now : float
        On the service's clock [min].
    hands_minutes : float
        What hands need for what they are told [min].

    Examples
    --------
    >>> rinse = Action("rinse", "", (), 30.0, until=30.0)
    >>> [face(rinse, now, 0.5).state for now in (28.0, 29.5, 30.2, 30.6)]
    ['wait', 'soon', 'now', 'late']
    """
    if action.kind == "done":
        return Face("done", now, "since")
    if action.kind == "rinsing":
        return Face("now", action.until - now, "left")
    away = action.at - now
    if away > 0.0:
        return Face("soon" if away <= READY_MINUTES else "wait", away, "until")
    if action.kind == "rinse":
        late_from = max(action.until, action.at + hands_minutes)
        if now <= late_from:
            return Face("now", late_from - now, "left")
        return Face("late", now - action.until, "over")
    if action.kind == "look":
        return Face("now", action.until - now, "left")
    over = now - action.done_by
    if over < 0.0:
        return Face("now", -over, "left")
    behind = over > hands_minutes and action.kind != "rinse_tone"
    return Face("late", over, "over") if behind else Face("now", over, "since")


def early_by(action: Action, now: float) -> float:
    """By how much a press comes too early to be taken unasked [min]; 0 where it does not.

    That is before hands get ready for it; laying, which takes time, is asked about before half of
    that time has gone.

    Examples
    --------
    >>> early_by(Action("rinse", "", (), 41.0), 0.1), early_by(Action("rinse", "", (), 41.0), 40.5)
    (40.9, 0.0)
    """
    ahead = action.done_by - now
    return ahead if ahead > max(READY_MINUTES, action.lasts / 2.0) else 0.0
