"""Evidence that could fail: each check does, once the model or the measurement is another."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from lift.chemistry.depletion import strength_left
from lift.model.curves import default_curves
from lift.optics import dyes
from lift.practice.allowed import Allowed
from lift.practice.chances import Chance, strands_of
from lift.practice.choosing import options
from lift.reference import load
from lift.research.evidence import choosing, measured, toning, trade
from lift.research.evidence.checks import (
    BUILT_IN,
    DEFINED,
    MEASURED,
    STANDINGS,
    all_checks,
    by_standing,
    check,
)
from lift.research.evidence.unknown import chroma_alone, lightness_span, unknown

CURVES = default_curves()
CHECKS = list(all_checks())

OTHER_CURVES = {
    "quick": {"lightening_rate": 0.9},
    "without persulfate": {"persulfate_rate": 0.0},
    "mild base break": {"base_break_ph": 8.0},
    "red as brown": {"pheomelanin_rate_ratio": 1.0, "oxidised_pheomelanin_yield": 0.0},
    "never spent": {"peroxide_loss": 0.0},
    "open fibre": {"uptake_rate": 1.0 / 60.0},
    "slow": {"lightening_rate": 0.02},
    "without orange": {"half_oxidised_yield": 0.0},
    "shining": {"surface_reflectance": 0.05},
    "steep": {"eumelanin_slope": 0.008, "pheomelanin_slope": 0.013},
    "slow orange": {"half_oxidised_rate_ratio": 0.1, "half_oxidised_slope": 0.02},
    "without warmth": {
        **{"pheomelanin_share": 0.0, "half_oxidised_yield": 0.0},
        "oxidised_pheomelanin_yield": 0.0,
    },
}
"""Models that are wrong, each a number or two away from the shipped one."""

FAILING = {
    "black_tress": "shining",
    "apertures": "shining",
    "black_hair": "shining",
    "tress": "steep",
    "extinction": "steep",
    "loss": "never spent",
    "uptake": "open fibre",
    "lift": "slow",
    "order": "without persulfate",
    "first_minutes": "mild base break",
    "black": "quick",
    "red": "red as brown",
    "red_colour": "red as brown",
    "regions": "without orange",
    "base_break": "slow",
    "carried": "slow",
    "fine_hair": "without orange",
    "damp": "mild base break",
    "wheel": "without orange",
    "hue_rises": "slow orange",
    "stage_names": "slow orange",
    "depth": "without warmth",
    "wheel_rule": "slow orange",
}
"""Which of them each check catches."""

CHOOSING_OTHERWISE = {
    "chosen_volume": "quick",
    "chosen_minutes": "quick",
    "chosen_tone": "slow orange",
    "chosen_powder": "without persulfate",
}
"""Which of them each check of what is chosen catches: a search is dear, so few are tried."""


def broken(curves, *rooms):
    """Codes that do not hold, of some rooms of checks."""
    return {c.code for room in rooms for c in room(curves) if not c.passed}


@pytest.fixture(scope="module")
def found():
    """Codes that do not hold, by wrong model."""
    rooms = (measured.measured_checks, toning.toning_checks, trade.trade_checks)
    return {
        name: broken(CURVES.replace(**changes), *rooms) for name, changes in OTHER_CURVES.items()
    }


@pytest.fixture(scope="module")
def chosen():
    """Codes of choices that do not hold, by wrong model."""
    return {
        name: broken(CURVES.replace(**OTHER_CURVES[name]), choosing.choosing_checks)
        for name in set(CHOOSING_OTHERWISE.values())
    }


@pytest.mark.parametrize("code", FAILING)
def test_a_wrong_model_does_not_hold(found, code):
    assert code in found[FAILING[code]]


@pytest.mark.parametrize("code", CHOOSING_OTHERWISE)
def test_another_rate_or_oxidant_chooses_otherwise(chosen, code):
    assert code in chosen[CHOOSING_OTHERWISE[code]]


def test_a_cream_that_stays_short_would_hold(chosen):
    """The one row that is missed: in hair that goes too quickly no cream ends at pale yellow."""
    assert "chosen_cream" not in chosen["quick"]
    assert "chosen_cream" in chosen["without persulfate"]


def failed(room, *codes):
    return broken(CURVES, room) >= set(codes)


def with_column(table, name, column):
    return replace(table, columns=MappingProxyType({**table.columns, name: column}))


def test_a_bath_that_is_lost_exponentially_would_fail(monkeypatch):
    def other(name):
        table = load(name)
        if name != "peroxide_bath_loss":
            return table
        minutes = table.numbers("minutes")
        return with_column(table, "h2o2_percent", 6.0 * strength_left(minutes, 200.0))

    monkeypatch.setattr(measured, "load", other)
    assert failed(measured.measured_checks, "bath", "bath_later")


def test_other_dyes_and_other_washes_would_fail(monkeypatch):
    def other(name):
        table = load(name)
        if name == "indo_dyes_corbett1973":
            return with_column(table, "centre_nm", table.numbers("centre_nm") + 10.0)
        low = table.numbers("washes_low")
        return with_column(table, "washes_low", np.where(low == 30.0, 60.0, low + 1.0))

    monkeypatch.setattr(toning, "load", other)
    assert failed(toning.toning_checks, "dye", "fading", "fading_direct")


def rules(curves):
    return {
        (dict(c.values)["excess"], dict(c.values)["answer"]): c
        for c in trade.trade_checks(curves)
        if c.code == "wheel_rule"
    }


def test_each_rule_of_the_wheel_can_hold_and_fail(monkeypatch):
    """One that holds fails in hair without orange, and those that fail hold with other dyes."""
    found = rules(CURVES)
    assert {rule: c.passed for rule, c in found.items()} == {
        ("red", "green"): False,
        ("red-orange", "blue-green"): False,
        ("orange", "blue"): False,
        ("yellow-orange", "blue-violet"): True,
        ("yellow", "violet"): False,
    }
    bare = CURVES.replace(**OTHER_CURVES["without orange"])
    assert not rules(bare)["yellow-orange", "blue-violet"].passed
    names, one = tuple(dyes.palette()), dyes.palette()["blue-violet"]
    monkeypatch.setattr(dyes, "palette", lambda: dict.fromkeys(names, one))
    assert all(c.passed for c in rules(CURVES).values())


def test_a_rule_that_fails_is_told_kindly_with_its_reason():
    for (rule, _), each in rules(CURVES).items():
        assert (each.finding is None) == each.passed
        if each.passed:
            continue
        turns = "leaves it red" if rule == "yellow" else "turns it green"
        assert "Hair is not white: it keeps back blue light already. So a dye" in str(each.finding)
        assert turns in str(each.finding)


def test_a_later_warning_would_fail(monkeypatch):
    monkeypatch.setattr(trade, "cautions", lambda *_: ())
    assert failed(trade.trade_checks, "limit")


def test_white_fibres_taken_for_lighter_hair_and_powder_for_everybody_would_fail(monkeypatch):
    def lighter(hair, curves, latent):
        level = hair.level + hair.grey_percent / 100.0
        return strands_of(hair.replace(level=level), curves, latent)

    monkeypatch.setattr(options, "strands_of", lighter)
    monkeypatch.setattr(Allowed, "classes", lambda _, __, curves: (*curves.mixtures.values(),))
    assert failed(choosing.choosing_checks, "chosen_grey", "chosen_scalp")


def test_hair_left_on_as_long_as_usual_would_fail(monkeypatch):
    monkeypatch.setattr(Chance, "best", property(lambda self: self.minutes.size - 1))
    assert failed(choosing.choosing_checks, "chosen_soonest", "chosen_minutes")


def test_nothing_is_left_out_here():
    """What is measured or practice is shown above to be able to fail."""
    others = {"bath", "bath_later", "dye", "fading", "fading_direct", "limit"}
    others |= {*CHOOSING_OTHERWISE, "chosen_cream", "chosen_grey", "chosen_scalp", "chosen_soonest"}
    assert {c.code for c in CHECKS if c.standing != DEFINED} == {*FAILING, *others}


def test_standings_are_disjoint_and_all_there():
    groups = by_standing(CHECKS)
    assert tuple(groups) == STANDINGS
    assert sum(map(len, groups.values())) == len(CHECKS)
    assert all(groups.values())
    assert all(c.fitted == ("fitted" in c.standing) for c in CHECKS)
    assert {c.code for c in groups[BUILT_IN]} == {
        *("dye", "fading", "fading_direct", "limit", "stage_names", "wheel"),
    }


@pytest.mark.parametrize(
    ("kind", "fitted", "standing"),
    [
        ("measured", False, MEASURED),
        ("measured", True, "measured_fitted"),
        ("common practice", True, "practice_fitted"),
        ("common practice", False, "practice_left_out"),
        ("defined", False, DEFINED),
        ("library", False, DEFINED),
    ],
)
def test_standing_of_each_kind(kind, fitted, standing):
    assert check("pka", kind, True, fitted=fitted, half=0.5).standing == standing


def test_the_tresses_that_were_fitted_are_not_among_those_predicted():
    predicted = {c.code for c in CHECKS if c.standing == MEASURED}
    assert {"black_tress", "apertures", "bath_later"} <= predicted
    assert not predicted & {"black_hair", "tress", "extinction", "bath"}


def test_chroma_of_one_pigment_alone():
    """Half-oxidised melanin is the most saturated, and nothing measured says how much."""
    alone = chroma_alone(CURVES)
    assert alone["eumelanin"] < alone["pheomelanin"] < alone["half_oxidised"]
    flat = chroma_alone(CURVES.replace(half_oxidised_slope=CURVES["half_oxidised_slope"].low))
    assert flat["half_oxidised"] < alone["half_oxidised"]
    assert flat["eumelanin"] == alone["eumelanin"]


def test_lightness_moves_with_the_roughness():
    assert lightness_span(CURVES) > 5.0


def test_what_is_unknown_is_said():
    said = [str(each) for each in unknown(CURVES)]
    assert "we have read no measurement" in said[0]
    assert f"Of {len(tuple(CURVES))} numbers" in said[1]
