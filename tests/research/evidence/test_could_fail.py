"""Evidence that could fail: each check does, once the model or the measurement is another."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from lift.chemistry.depletion import strength_left
from lift.model.curves import default_curves
from lift.reference import load
from lift.research.evidence import measured, toning, trade
from lift.research.evidence.checks import (
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
}
"""Which of them each check catches."""


@pytest.fixture(scope="module")
def found():
    """Codes that do not hold, by wrong model."""
    return {
        name: {c.code for c in all_checks(CURVES.replace(**changes)) if not c.passed}
        for name, changes in OTHER_CURVES.items()
    }


@pytest.mark.parametrize("code", FAILING)
def test_a_wrong_model_does_not_hold(found, code):
    assert code in found[FAILING[code]]


def failed(*codes):
    return {c.code for c in all_checks() if not c.passed and c.code in codes} == set(codes)


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
    assert failed("bath", "bath_later")


def test_other_dyes_and_other_washes_would_fail(monkeypatch):
    def other(name):
        table = load(name)
        if name == "indo_dyes_corbett1973":
            return with_column(table, "centre_nm", table.numbers("centre_nm") + 10.0)
        low = table.numbers("washes_low")
        return with_column(table, "washes_low", np.where(low == 30.0, 60.0, low + 1.0))

    monkeypatch.setattr(toning, "load", other)
    assert failed("dye", "fading", "fading_direct")


def test_a_later_warning_would_fail(monkeypatch):
    monkeypatch.setattr(trade, "cautions", lambda *_: ())
    assert failed("limit")


def test_nothing_is_left_out_here():
    """What is measured or practice is shown above to be able to fail."""
    others = {"bath", "bath_later", "dye", "fading", "fading_direct", "limit"}
    assert {c.code for c in CHECKS if c.standing != DEFINED} == {*FAILING, *others}


def test_standings_are_disjoint_and_all_there():
    groups = by_standing(CHECKS)
    assert tuple(groups) == STANDINGS
    assert sum(map(len, groups.values())) == len(CHECKS)
    assert all(groups.values())
    assert all(c.fitted == ("fitted" in c.standing) for c in CHECKS)


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
    assert "nobody has measured" in said[0]
    assert f"Of {len(tuple(CURVES))} numbers" in said[1]
