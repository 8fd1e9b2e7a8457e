"""The next visit as a calendar entry (iCalendar, RFC 5545), which any calendar opens."""

from __future__ import annotations

import datetime

from lift.errors import LiftError
from lift.practice.visit.consultation import TEST_DAYS
from lift.practice.visit.marks import minutes_taken
from lift.practice.visit.visit import Visit
from lift.words import say

REMIND_DAYS = TEST_DAYS + 1
"""Days before the visit that an alarm is set to: a day before the allergy test is to be done, which
is to be 48 h before the service (labels of hair dyes); a day ahead is common practice (no source).
"""

USUAL_MINUTES = 120.0
"""How long a visit is taken to last whose clock was never started [min] (assumed)."""

_MAKER = "-//lift//EN"


def visit_ics(
    visit: Visit,
    *,
    at: datetime.time | None = None,
    minutes: float | None = None,
    now: datetime.datetime | None = None,
) -> bytes:
    """Calendar entry of the visit that was agreed at the end of this one, as a ``.ics`` file.

    It names the client's code and nobody, and reminds of the allergy test a day before it is due.
    The same visit makes an entry of the same identity, so that a calendar moves it instead of
    keeping two. Without a time of day it lasts all day.

    Parameters
    ----------
    visit : Visit
        Its `next_date` is the day.
    at : datetime.time, optional
        Time of day where the calendar is read.
    minutes : float, optional
        How long it is planned to last [min]; default: as long as this one took.
    now : datetime.datetime, optional
        When the entry is made, with its offset from UTC.

    Raises
    ------
    LiftError
        When no day is agreed, or the library that writes calendars is missing.

    Examples
    --------
    >>> from lift.practice.visit.visit_table import visit_of
    >>> head = {"name": "k7f-m3q", "client": "qf4-mk7", "next": "2027-01-15"}
    >>> entry = visit_ics(visit_of({"visit": head, "zones": []}))
    >>> entry.startswith(b"BEGIN:VCALENDAR"), b"UID:next-of-k7f-m3q@lift" in entry
    (True, True)
    """
    if visit.next_date is None:
        raise LiftError("next.no_date", name=visit.name)
    try:
        from icalendar import Alarm, Calendar, Event
    except ImportError:
        raise LiftError("next.no_calendar") from None

    day = datetime.date.fromisoformat(visit.next_date)
    long = minutes or minutes_taken(visit) or USUAL_MINUTES
    event = Event()
    event.add("uid", f"next-of-{visit.name}@lift")
    event.add("dtstamp", (now or datetime.datetime.now(datetime.UTC)).astimezone(datetime.UTC))
    event.add("summary", say("next.summary", client=visit.client or visit.name))
    event.add("description", say("next.about", minutes=long, hours=24 * TEST_DAYS))
    if at is None:
        event.add("dtstart", day)
        event.add("dtend", day + datetime.timedelta(days=1))
    else:
        # No time zone: it is that time of day wherever the calendar is read, which is the salon.
        event.add("dtstart", datetime.datetime.combine(day, at))
        event.add("duration", datetime.timedelta(minutes=round(long)))
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("trigger", datetime.timedelta(days=-REMIND_DAYS))
    alarm.add("description", say("next.alarm", hours=24 * TEST_DAYS))
    event.add_component(alarm)
    calendar = Calendar()
    calendar.add("prodid", _MAKER)
    calendar.add("version", "2.0")
    calendar.add_component(event)
    written: bytes = calendar.to_ical()
    return written
