"""The forward model's parts that no strand shows by itself."""

import numpy as np
import pytest
from scipy.integrate import quad

from lift.chemistry.depletion import second_order_left
from lift.model.course import SPENT, Conditions, exposure, persulfate_rate
from lift.model.curves import default_curves

VALUES = default_curves().values


def conditions(minutes, volume=20.0, **more):
    usual = {"ph": VALUES["reference_ph"], "boost": 1.0, "temperature_c": 30.0, "fibre_um": 70.0}
    return Conditions(minutes=minutes, on_head_volume=volume, **usual | more)


def test_nodes_are_those_of_gauss_and_laguerre():
    np.testing.assert_allclose(np.transpose(SPENT), np.polynomial.laguerre.laggauss(4), rtol=1e-12)


@pytest.mark.parametrize(("to", "off"), [(0.3, 3e-7), (1.0, 4e-4)])
def test_exponentials_stand_for_the_loss_of_second_order(to, off):
    minutes = np.linspace(0.0, to, 101)
    summed = sum(weight * np.exp(-node * minutes) for node, weight in SPENT)
    np.testing.assert_allclose(summed, second_order_left(minutes, 1.0, 1.0), atol=off)


def test_without_uptake_exposure_is_the_integral_of_what_is_left():
    """Spent by the second order and dried with the film, both at once, by quadrature."""
    on = conditions(40.0)
    film, loss, molar = VALUES["fade_minutes"], VALUES["peroxide_loss"], 2.0 * 20.0 / 22.414
    quick = {**VALUES, "uptake_rate": 1e6}

    def left(t):
        return np.exp(-t / film) * second_order_left(t, molar, loss)

    expected = VALUES["lightening_rate"] * molar ** VALUES["hydroperoxide_order"]
    expected *= quad(left, 0.0, 40.0)[0]
    assert exposure(on, quick) == pytest.approx(expected, rel=1e-5)


def test_persulfate_adds_its_own_by_the_share_of_powder():
    alone, less, more = (
        exposure(conditions(20.0, persulfate=VALUES["persulfate_rate"], powder_share=share), VALUES)
        for share in (0.0, 0.2, 0.4)
    )
    assert more - alone == pytest.approx(2.0 * (less - alone))
    assert alone == pytest.approx(exposure(conditions(20.0), VALUES))
    damp = conditions(20.0, persulfate=0.3, powder_share=0.5, damp=[False, True])
    dry, wet = persulfate_rate(damp, VALUES)
    assert wet == pytest.approx(VALUES["damp_dilution"] * dry)
