"""Many times from few: against every time computed by itself."""

import numpy as np
import pytest

from lift.model import few_times
from lift.model.curves import default_curves
from lift.model.domain import longest_minutes
from lift.model.ensemble import apply_latent, draw_latent
from lift.model.few_times import simulate_many_times
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.model.trajectory import simulate

CURVES = default_curves()
LATENT = draw_latent(40)


def times(mixture):
    """All that is predicted of a mixture, and a time between."""
    return np.append(np.linspace(0.0, longest_minutes(mixture, CURVES), 61), 5.3)


USUAL = {
    "base break": (Hair(7, "fine", True), Mixture("base-break", 10)),
    "cream": (Hair(5), Mixture("cream", 20)),
    "powder": (Hair(4), Mixture("powder", 30)),
    "grey, lightened before": (Hair(4, lightened_to=6, grey_percent=30), Mixture("powder", 20)),
    "much tone": (Hair(7), Mixture("base-break", 10, tone={"violet": 6, "blue": 4})),
    "red": (Hair(6, pheomelanin_share=0.33), Mixture("cream", 40)),
}
EXTREME = {
    "hot and strong on fine hair": (
        Hair(1, 30),
        Mixture("powder", 40, developer_parts=10, temperature_c=45, ph=11.5),
    ),
    "tone that forms at once": (
        Hair(3, 90),
        Mixture("cream", 40, tone={"violet": 60, "blue": 20}, tone_minutes=0.5),
    ),
}


def both(case):
    hair, mixture = case
    members, values = apply_latent(hair, CURVES, LATENT)
    return (
        simulate_many_times(members, mixture, times(mixture), CURVES, values),
        simulate(members, mixture, times(mixture), CURVES, values=values),
    )


@pytest.mark.parametrize("name", USUAL)
def test_usual_services_are_within_a_thousandth(name):
    few, all_ = both(USUAL[name])
    for quantity in (
        "lab",
        "pigmented",
        "underpigment",
        "level",
        "lift",
        "warmth",
        "blend_warmth",
        "exposure",
    ):
        np.testing.assert_allclose(
            getattr(few, quantity), getattr(all_, quantity), atol=1e-3, err_msg=quantity
        )
    for dye, dose in all_.tone.items():
        np.testing.assert_array_equal(few.tone[dye], dose)
    np.testing.assert_allclose(few.pigment.eumelanin, all_.pigment.eumelanin, atol=1e-3)
    assert few.lab.shape == all_.lab.shape
    assert (few.white is None) == (all_.white is None) == ("grey" not in name)
    if all_.white is not None:
        np.testing.assert_allclose(few.white, np.broadcast_to(all_.white, few.lab.shape), atol=1e-3)


@pytest.mark.parametrize("name", EXTREME)
def test_extreme_ones_are_computed_time_by_time(name):
    few, all_ = both(EXTREME[name])
    np.testing.assert_array_equal(few.lab, all_.lab)


def test_nothing_happens_without_peroxide():
    few, _ = both((Hair(6), Mixture("cream", 0)))
    np.testing.assert_allclose(few.lift, 0.0, atol=1e-9)
    assert np.ptp(few.lab, axis=1).max() < 1e-9


def test_few_times_are_not_interpolated(monkeypatch):
    monkeypatch.setattr(few_times, "_weights", None)
    hair, values = apply_latent(Hair(6), CURVES, LATENT)
    few = simulate_many_times(hair, Mixture("cream", 20), np.array([0.0, 5.0]), CURVES, values)
    assert few.lab.shape == (40, 2, 3)


def test_coefficients_of_polynomials_are_found():
    """The last coefficients of T_k are zero but for k itself."""
    points = 2.0 * few_times._nodes() - 1.0
    for degree in range(few_times.COUNT):
        found = few_times._last_coefficients() @ np.cos(degree * np.arccos(points))
        wanted = np.arange(few_times.COUNT - few_times.TAIL, few_times.COUNT) == degree
        np.testing.assert_allclose(found, wanted, atol=1e-12)
