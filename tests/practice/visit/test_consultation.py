"""Consultation: what answers refuse and warn of, and that nothing refused is mixed."""

from datetime import date, timedelta

import pytest

from lift import Hair, LiftError, Lighten, LimitError, Mixture, Tone, choose, load_scenario, plan
from lift import preview as look_ahead
from lift.answers.consultation import consultation_part
from lift.answers.encode import plain
from lift.practice.assumptions import SERVICE
from lift.practice.consulted import AWAY, Consulted
from lift.practice.scenario.reader import Reader
from lift.practice.scenario.scenario import ALONG, Toner
from lift.practice.scenario.scenario_table import table_of
from lift.practice.visit.consultation import (
    OLDEST_TEST_DAYS,
    TEST_DAYS,
    Consultation,
    allowed_kinds,
    consult,
    consultation_of,
)
from lift.practice.visit.visit_table import visit_of, visit_table
from lift.quantities import quantities_of
from lift.reference import load

TODAY = date(2026, 11, 27)
CREAM, BREAK, POWDER = Mixture("cream", 20), Mixture("base-break", 10), Mixture("powder", 20)
KINDS = ("cream", "base-break", "powder")


def day_before(days):
    return (TODAY - timedelta(days=days)).isoformat()


def conclude(**answers):
    return consult(Consultation(**answers), TODAY)


@pytest.mark.parametrize(
    ("answers", "refuses", "allowed", "toner"),
    [
        ({}, [], KINDS, True),
        ({"allergy_test": "none"}, ["colour"], ("powder",), False),
        ({"allergy_test": day_before(1)}, ["colour"], ("powder",), False),
        ({"allergy_test": day_before(-5)}, ["colour"], ("powder",), False),
        ({"allergy_test": day_before(2)}, [], KINDS, True),
        ({"allergy_test": day_before(34)}, [], KINDS, True),
        ({"allergy_test": day_before(35)}, ["colour"], ("powder",), False),
        ({"scalp": "sound", "reactions": "no", "asthma": "no"}, [], KINDS, True),
        ({"scalp": "irritated"}, ["colour", "scalp"], (), False),
        ({"reactions": "yes"}, ["all"], (), False),
        ({"asthma": "yes"}, ["persulfate"], ("cream", "base-break"), True),
        ({"before": ("nothing",)}, [], KINDS, True),
        ({"before": ("colour", "heat")}, [], KINDS, True),
        ({"before": ("henna",)}, ["all"], (), False),
        ({"before": ("metal",), "bowl_test": "none"}, ["all"], (), False),
        ({"before": ("metal",), "bowl_test": "calm"}, [], KINDS, True),
        ({"bowl_test": "reacted"}, ["all"], (), False),
        ({"stretch": "breaks"}, ["lightening"], (), True),
        ({"stretch": "stays", "porous": "high"}, [], KINDS, True),
        ({"asthma": "yes", "reactions": "yes"}, ["all", "persulfate"], (), False),
    ],
)
def test_what_an_answer_refuses(answers, refuses, allowed, toner):
    found = conclude(**answers)
    assert [stop.refuses for stop in found.stops] == refuses
    assert allowed_kinds(found) == allowed
    assert (found.toner_refused() is None) == toner
    for stop in found.stops:
        assert stop.source
        assert stop.standing
        assert str(stop.note).startswith("Stop: ")


def test_away_from_an_irritated_scalp_powder_may_go_on():
    sore = conclude(scalp="irritated")
    assert [sore.refused(POWDER, along) is None for along in (*ALONG, None)] == [
        *(along in AWAY for along in ALONG),
        False,
    ]
    assert sore.refused(CREAM, "ends")


def test_powder_that_carries_tone_is_colour():
    untested = conclude(allergy_test="none")
    assert untested.refused(POWDER.replace(tone={"violet": 1.0}))
    assert untested.refused(POWDER.replace(tone={"violet": 0.0})) is None


def test_figures_are_those_of_their_sources():
    rules = load("hair_dye_labels")
    hours = dict(zip(rules.words("rule"), rules.numbers("value"), strict=True))
    assert hours["allergy_test_before"] == 24.0 * TEST_DAYS
    assert int(12.0 / SERVICE["growth_mm_per_day"].value) == OLDEST_TEST_DAYS


def test_what_was_not_asked_is_open_and_refuses_nothing():
    asked = set(quantities_of(Consultation))
    assert set(conclude().open) == asked - {"bowl_test"}
    assert "bowl_test" in conclude(before=("henna",)).open
    whole = {
        **{"allergy_test": day_before(3), "scalp": "sound", "reactions": "no", "asthma": "no"},
        **{"before": ("nothing",), "stretch": "springs", "porous": "low", "medical": "asked"},
    }
    assert conclude(**whole) == Consulted()


def test_cautions_are_of_what_was_answered():
    codes = [c.code for c in conclude(allergy_test=day_before(2), before=("colour",)).cautions]
    assert codes == ["consultation.caution.hour", "consultation.caution.colour"]


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        ({"scalp": "sore"}, "scalp"),
        ({"allergy_test": "yesterday"}, "day"),
        ({"allergy_test": "2026-02-30"}, "day"),
        ({"before": ("hena",)}, "did you mean henna"),
        ({"before": ("nothing", "henna")}, "one of them"),
        ({"asthma": True}, "asthma"),
    ],
)
def test_other_answers_are_refused(answers, said):
    with pytest.raises(LiftError, match=said):
        Consultation(**answers)


def test_answers_come_back_from_what_is_kept():
    answers = Consultation(allergy_test="none", before=("henna", "heat"), porous="high")
    assert consultation_of(Reader(table_of(answers))) == answers
    assert consultation_of(Reader({})) == Consultation()
    with pytest.raises(LiftError, match=r"consultation.*before"):
        consultation_of(Reader({"before": ["hena"]}, ("consultation",)))


def test_answers_are_kept_with_the_visit():
    answers = {"asthma": "yes", "before": ["henna"], "allergy_test": day_before(10)}
    table = {"visit": {"name": "k7f", "date": TODAY.isoformat()}, "consultation": answers}
    visit = visit_of(table)
    assert visit_table(visit)["consultation"] == answers
    assert visit.consulted == conclude(**answers | {"before": ("henna",)})
    # A test ages with the day of the visit.
    later = visit.replace(date=(TODAY + timedelta(days=90)).isoformat())
    assert "colour" in {stop.refuses for stop in later.consulted.stops}
    with pytest.raises(LiftError, match=r"consultation.scalp"):
        visit_of(table | {"consultation": {"scalp": "sore"}})


# What is refused is not mixed.


def test_choose_offers_nothing_that_is_refused():
    hair, goal = Hair(5), Lighten(8)
    asthma = choose(hair, goal, members=40, consulted=conclude(asthma="yes"))
    assert {o.mixture.kind for o in asthma.options} == {"cream"}
    assert asthma.cautions[0].code == "consultation.stop"
    # Without a toner hair stays warm, so the level alone is asked for.
    goal = Lighten(8, warmth=60)
    untested = choose(hair, goal, members=40, consulted=conclude(allergy_test="none"))
    assert {(o.mixture.kind, o.follows) for o in untested.options} == {("powder", False)}
    with pytest.raises(LimitError, match="breaks"):
        choose(hair, goal, members=40, consulted=conclude(stretch="breaks"))
    with pytest.raises(LimitError, match="allergy"):
        choose(hair, Tone(), members=40, consulted=conclude(allergy_test="none"))


def test_preview_refuses_and_advises_nothing_that_is_refused():
    with pytest.raises(LimitError, match="Asthma"):
        look_ahead(Hair(4), POWDER, 30, consulted=conclude(asthma="yes"))
    free = look_ahead(Hair(3), CREAM, 30, Lighten(8), members=40)
    held = look_ahead(
        Hair(3), CREAM, 30, Lighten(8), members=40, consulted=conclude(asthma="yes", porous="high")
    )
    assert "mixture" in {a.change for a in free.advice}
    assert "mixture" not in {a.change for a in held.advice}
    first = [c.code for c in held.cautions][:2]
    assert first == ["consultation.stop", "consultation.caution.porous"]


def test_a_plan_refuses_what_is_given_and_chooses_nothing_that_is_refused():
    scenario = load_scenario("shared/blonde_refresh.toml")
    with pytest.raises(LimitError, match="allergy"):
        plan(scenario, members=10, consulted=conclude(allergy_test="none"))
    foils = scenario.zone("foils")
    kinds = {z.name: scenario.mixtures[z.mixture].kind for z in scenario.treated}
    assert kinds["foils"] == "powder"
    alone = scenario.replace_zone("base", mixture=None, toner=None)
    toned = alone.replace_zone("foils", toner=Toner())
    with pytest.raises(LimitError, match="no toner"):
        plan(toned, members=10, consulted=conclude(allergy_test="none"))
    free = plan(alone.replace_zone("foils", toner="choose"), members=10)
    held = plan(
        alone.replace_zone("foils", toner="choose"),
        members=10,
        consulted=conclude(allergy_test="none"),
    )
    assert foils.mixture in scenario.mixtures
    assert free.zone("foils").toner_step is not None
    assert held.zone("foils").toner_step is None
    assert held.cautions[0].code == "consultation.stop"


def test_the_answer_tells_every_question_with_its_words():
    answers = Consultation(asthma="yes", before=("henna",))
    shown = plain(consultation_part(answers, consult(answers, TODAY)))
    assert [q["name"] for q in shown["questions"]] == list(quantities_of(Consultation))
    by_name = {q["name"]: q for q in shown["questions"]}
    assert by_name["before"]["given"] == ["henna"]
    assert by_name["before"]["kind"] == "several"
    assert by_name["allergy_test"]["kind"] == "day"
    assert by_name["asthma"]["given"] == "yes"
    assert by_name["scalp"]["given"] is None
    assert [s["refuses"] for s in shown["stops"]] == ["all", "persulfate"]
