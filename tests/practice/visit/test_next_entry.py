"""The calendar entry reads back as what was agreed, by a library that did not come from here."""

import datetime
import sys

import pytest
from icalendar import Calendar

from lift.errors import LiftError
from lift.practice.visit.next_entry import visit_ics
from lift.practice.visit.visit_table import visit_of

NOW = datetime.datetime(2026, 11, 27, 18, 5, tzinfo=datetime.timezone(datetime.timedelta(hours=1)))


def visit(**head):
    base = {"name": "base", "natural_level": 7}
    own = {"name": "k7f-m3q", "client": "qf4-mk7", "next": "2027-01-15", **head}
    marks = [{"zone": "base", "begun": 0.0, "laid": [1.0], "rinsed": 41.0, "tone_rinsed": 84.6}]
    return visit_of({"visit": own, "zones": [base], "clock": {"zones": marks}})


def read(entry):
    calendar = Calendar.from_ical(entry)
    assert calendar["version"] == "2.0"
    assert calendar["prodid"]
    (event,) = calendar.walk("VEVENT")
    return event


def test_a_day_reads_back_with_its_alarm_before_the_allergy_test():
    event = read(visit_ics(visit(), now=NOW))
    assert event.decoded("dtstart") == datetime.date(2027, 1, 15)
    assert event.decoded("dtend") == datetime.date(2027, 1, 16)
    assert event.decoded("dtstamp") == NOW
    assert event.decoded("dtstamp").utcoffset() == datetime.timedelta(0)
    (alarm,) = event.walk("VALARM")
    assert alarm["action"] == "DISPLAY"
    assert alarm.decoded("trigger") == -datetime.timedelta(days=3)
    assert "Allergy test" in alarm["description"]
    assert "85 min" in event["description"]


def test_a_time_of_day_lasts_as_long_as_the_visit_before_or_as_planned():
    at = datetime.time(10, 30)
    event = read(visit_ics(visit(), at=at, now=NOW))
    assert event.decoded("dtstart") == datetime.datetime(2027, 1, 15, 10, 30)
    assert event.decoded("duration") == datetime.timedelta(minutes=85)
    planned = read(visit_ics(visit(), at=at, minutes=50, now=NOW))
    assert planned.decoded("duration") == datetime.timedelta(minutes=50)


def test_it_names_a_code_and_keeps_its_identity_when_the_day_moves():
    first, moved = read(visit_ics(visit())), read(visit_ics(visit(next="2027-02-01")))
    assert first["uid"] == moved["uid"]
    assert first["uid"] != read(visit_ics(visit(name="other-1")))["uid"]
    assert "qf4-mk7" in first["summary"]


def test_what_cannot_be_written_is_one_line(monkeypatch):
    with pytest.raises(LiftError, match="choose it first"):
        visit_ics(visit(next=None))
    monkeypatch.setitem(sys.modules, "icalendar", None)
    with pytest.raises(LiftError, match="icalendar") as refused:
        visit_ics(visit())
    assert "\n" not in str(refused.value)
