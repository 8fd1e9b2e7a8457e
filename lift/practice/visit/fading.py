"""Fading: when the tone of a zone will be seen to have gone, in washes and on which day."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from lift.chemistry.tone_kinds import FADED_LEFT
from lift.practice.toning.fade import Fade
from lift.practice.visit.again import DAYS_A_WEEK
from lift.quantities import Lab

MOMENTS = ("today", "warm", "faded", "year")
"""What is told of: today; warm again, past what is welcome; faded, next to no tone left; where that
comes later, a year."""


@dataclass(frozen=True)
class Moment:
    """One of `MOMENTS`: after how many washes, on which day, and the CIELAB then.

    The day is None where nobody has said which day it is today.
    """

    what: str
    washes: float
    day: datetime.date | None
    lab: Lab


def moments_of(fade: Fade, today: datetime.date | None) -> tuple[Moment, ...]:
    """What becomes of a tone, moment by moment.

    Examples
    --------
    >>> from lift import tone_report
    >>> fade = tone_report((60, 10, 30)).fades["direct"]
    >>> found = moments_of(fade, datetime.date(2026, 11, 27))
    >>> [(each.what, str(each.day)) for each in found]
    [('today', '2026-11-27'), ('warm', '2026-12-02'), ('faded', '2026-12-13')]
    """
    return tuple(
        Moment(what, washes, _day(today, washes / fade.washes_per_week), _lab_after(fade, washes))
        for what, washes in sorted(_moments(fade), key=lambda moment: moment[1])
    )


def _moments(fade: Fade) -> Iterator[tuple[str, float]]:
    yield "today", 0.0
    if fade.passes is not None and fade.passes > 0.0:
        yield "warm", float(np.ceil(fade.passes))
    last = float(fade.washes[-1])
    faded = float(np.ceil(-np.log(FADED_LEFT) / fade.kind.rate - 1e-9))
    yield ("faded", faded) if faded < last else ("year", last)


def _day(today: datetime.date | None, weeks: float) -> datetime.date | None:
    return None if today is None else today + datetime.timedelta(days=round(weeks * DAYS_A_WEEK))


def _lab_after(fade: Fade, washes: float) -> Lab:
    lightness, a, b = (float(np.interp(washes, fade.washes, axis)) for axis in fade.lab.T)
    return lightness, a, b
