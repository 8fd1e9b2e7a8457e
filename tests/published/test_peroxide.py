"""Peroxide against published figures: strength, pKa, the legal limit, decay, loss in a bath."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from lift.chemistry.decay import two_step_intermediate
from lift.chemistry.depletion import fit_fade, fit_loss, second_order_left, strength_left
from lift.chemistry.strength import (
    check_on_head,
    hydroperoxide_fraction,
    on_head_volume,
    volume_to_molar,
    volume_to_percent,
)
from lift.errors import LimitError
from lift.reference import load


def test_strength_read():
    """30 vol is 2.678 mol/L and 9.11 % w/v (read): a molar volume of 22.4 L, so to 0.1 %."""
    table = load("peroxide_strength")
    status = np.array(table.columns["status"])
    volume, molar, percent = table.numbers("volume", "mol_per_l", "percent_w_v")[status == "read"].T
    assert volume.size
    np.testing.assert_allclose(volume_to_molar(volume), molar, rtol=1e-3)
    np.testing.assert_allclose(volume_to_percent(volume), percent, rtol=1e-3)


def test_strength_of_10_volumes():
    """10 vol is 0.892 mol/L and 3.04 % w/v: two moles of peroxide give one of oxygen."""
    assert volume_to_molar(10.0) == pytest.approx(0.892, abs=5e-4)
    assert volume_to_percent(10.0) == pytest.approx(3.04, abs=6e-3)


def test_pharmacopoeial_names():
    """10, 20, 30, 40 vol are called 3, 6, 9, 12 % (from memory); the names are rounded by 1.2 %."""
    table = load("peroxide_strength")
    named = np.array(table.columns["status"]) == "from memory"
    volume, percent = table.numbers("volume", "percent_w_v")[named].T
    assert volume.tolist() == [10.0, 20.0, 30.0, 40.0]
    np.testing.assert_allclose(volume_to_percent(volume), percent, rtol=0.02)


def test_half_the_peroxide_is_anion_at_the_pka():
    """PKa 11.75 at 20 C, Ka 1.78e-12: half at pH 11.75, and Ka / [H+] far below it."""
    assert hydroperoxide_fraction(11.75) == 0.5
    assert hydroperoxide_fraction(8.0) == pytest.approx(1.78e-12 / 1e-8, rel=2e-3)


def test_over_the_legal_limit_the_regulation_is_named():
    """Regulation (EC) 1223/2009, Annex III entry 12: 12 % H2O2, 40 volumes, ready for use."""
    table = load("limits_eu1223")
    rows = zip(table.columns["rule"], table.columns["unit"], table.columns["value"], strict=True)
    limits = {unit: value for rule, unit, value in rows if rule == "h2o2_in_hair_products"}
    assert check_on_head(limits["vol"]) == limits["vol"]
    with pytest.raises(LimitError) as caught:
        check_on_head(limits["vol"] + 5.0)
    message = str(caught.value)
    for text in (
        "Regulation (EC) 1223/2009",
        "Annex III entry 12",
        f"{limits['%']:g} % H2O2",
        f"{limits['vol']:g} volumes",
        "ready for use",
        "45 vol (13.7 % H2O2)",
        "nearest allowed: 40 vol",
    ):
        assert text in message
    assert "\n" not in message


def test_the_limit_is_for_the_mixture_not_the_bottle():
    """The regulation counts what is ready for use: 60 vol, diluted by as much product, passes."""
    assert check_on_head(on_head_volume(60.0, 1.0)) == 30.0
    with pytest.raises(LimitError):
        check_on_head(on_head_volume(60.0, 3.0))


@pytest.mark.parametrize(
    ("first", "second"),
    [(0.075, 0.0375), (0.0375, 0.075), (0.05, 0.05), (0.05, 0.05 * (1 + 1e-9)), (0.3, 0.0)],
)
def test_two_step_decay_against_an_ode_solver(first, second):
    """Scipy's DOP853 on A -> B -> gone, equal rates included, to 1e-8."""
    times = np.linspace(0.0, 120.0, 25)
    solution = solve_ivp(
        lambda _, y: [-first * y[0], first * y[0] - second * y[1]],
        (0.0, 120.0),
        [1.0, 0.0],
        method="DOP853",
        t_eval=times,
        rtol=1e-12,
        atol=1e-14,
    )
    amount = two_step_intermediate(first * times, second * times)
    np.testing.assert_allclose(amount, solution.y[1], rtol=1e-8, atol=1e-10)
    np.testing.assert_allclose(np.exp(-first * times), solution.y[0], rtol=1e-8, atol=1e-10)


def bath(edta):
    table = load("peroxide_bath_loss")
    rows = np.array(table.words("edta")) == edta
    return table.numbers("minutes", "h2o2_percent")[rows].T


def test_loss_in_a_bath_is_of_second_order():
    """J. Soc. Cosmet. Chem. 12(3) 1961, Table 1, without EDTA: 1/c = 1/c0 + 0.00123 t.

    Strengths are given to 0.01 %, and the bath was mixed to 0.1 %; an exponential misses them by
    a quarter of a percent.
    """
    minutes, percent = bath("no")
    loss, initial, rms = fit_loss(minutes, percent)
    assert loss == pytest.approx(0.00123, abs=1e-5)
    assert initial == pytest.approx(percent[0], abs=0.01)
    off = initial * second_order_left(minutes, initial, loss) - percent
    assert np.abs(off).max() <= 0.031
    assert np.sqrt(np.mean(off**2)) == pytest.approx(rms, rel=1e-9)
    fade, first, _ = fit_fade(minutes, percent)
    off = first * strength_left(minutes, fade) - percent
    assert np.abs(off).max() > 0.24


def test_a_bath_with_edta_does_not_tell_the_laws_apart():
    """The same table with EDTA: a quarter is lost, and both laws are within a titration's 1 %."""
    minutes, percent = bath("yes")
    loss, _, rms = fit_loss(minutes, percent)
    fade, initial, other = fit_fade(minutes, percent)
    assert loss == pytest.approx(2.7e-4, abs=1e-5)
    assert max(rms, other) <= 0.06
    assert abs(rms - other) < 0.01
    assert initial == pytest.approx(percent[0], abs=0.06)
    assert 600.0 < fade < 800.0
