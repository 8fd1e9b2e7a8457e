"""A visit that tones and lightens nothing."""

import pytest

from lift.errors import LiftError, LimitError
from lift.model.curves import default_curves
from lift.practice.visit.tone import zone_tone
from lift.practice.visit.toned_visit import toned_visit
from lift.practice.visit.visit_table import visit_of

ENDS = {"name": "ends", "natural_level": 6, "lightened_to": 8.5, "goal": "tone"}


def visit(*zones, **more):
    return visit_of({"visit": {"name": "k7f-m3q", "date": "2026-11-27"}, "zones": [*zones], **more})


def test_each_zone_has_its_tone_as_the_step_of_the_tone_has_it():
    given = visit(
        ENDS,
        {"name": "top", "natural_level": 6, "goal": "leave"},
        {**ENDS, "name": "nape", "toner": "none"},
    )
    curves = default_curves()
    found = toned_visit(given, curves)
    assert [each.zone.name for each in found.tones] == ["ends", "nape"]
    alone = zone_tone(given, "ends", curves)
    settled = found.visit.scenario.zone("ends").laid_on
    assert settled.doses == pytest.approx(alone.doses(1.0))
    assert found.visit.scenario.zone("nape").toner is None
    # One toner goes on; of the other zone nothing is to be told to come again for.
    assert [each.zone for each in found.toning] == ["ends"]
    assert [due.where for due in found.again.due] == ["ends"]
    assert "care.direct" in [each.said.code for each in found.care]


def test_a_toner_that_the_answers_refuse_is_refused():
    with pytest.raises(LimitError):
        toned_visit(visit(ENDS, consultation={"reactions": "yes"}), default_curves())


@pytest.mark.parametrize(("zones", "told"), [(0, "nothing is mixed"), (9, "outside 1 to 8")])
def test_none_or_too_many_are_refused(zones, told):
    named = [{**ENDS, "name": f"ends {i}"} for i in range(zones)]
    with pytest.raises(LiftError, match=told):
        toned_visit(visit(*named), default_curves())
