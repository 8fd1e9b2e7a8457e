"""Priors: deviates and values there and back, and the density that belongs to them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm, truncnorm

from lift.errors import LiftError
from lift.model.curves import default_curves
from lift.model.parameter import Parameter
from lift.research.posterior.priors import LEAST_SPREAD, Prior

CURVES = default_curves()
NAMES = ("lightening_rate", "half_oxidised_yield", "persulfate_rate", "rate_log_sd", "cream_ph")


def frame(prior):
    p = prior.parameter
    ends = np.array([max(p.low, LEAST_SPREAD) if p.name == "rate_log_sd" else p.low, p.high])
    middle = p.value
    if prior.logarithmic:
        ends, middle = np.log(ends), np.log(middle)
    width = (ends[1] - ends[0]) / 6.0
    return truncnorm((ends[0] - middle) / width, (ends[1] - middle) / width, middle, width)


@pytest.mark.parametrize("name", NAMES)
def test_values_follow_the_truncated_normal_of_scipy(name):
    prior = Prior(CURVES[name])
    share = np.linspace(0.001, 0.999, 41)
    expected = frame(prior).ppf(share)
    expected = np.exp(expected) if prior.logarithmic else expected
    np.testing.assert_allclose(prior.from_standard(norm.ppf(share)), expected, rtol=1e-9)


@given(st.sampled_from(NAMES), st.floats(-1e9, 1e9))
def test_values_stay_in_range(name, deviate):
    p = CURVES[name]
    assert p.low <= Prior(p).from_standard(deviate) <= p.high


def test_values_broadcast_and_rise():
    prior = Prior(CURVES["lightening_rate"])
    z = np.linspace(-4, 4, 12).reshape(3, 4)
    found = prior.from_standard(z)
    assert found.shape == (3, 4)
    assert np.all(np.diff(found.ravel()) > 0.0)
    np.testing.assert_allclose(found[1, 2], prior.from_standard(z[1, 2]))


def test_unit_of_the_parameter_does_not_matter():
    p = CURVES["lightening_rate"]
    thousand = Parameter(p.name, 1e3 * p.value, "mL", 1e3 * p.low, 1e3 * p.high, p.status, p.source)
    z = np.linspace(-3, 3, 7)
    np.testing.assert_allclose(
        Prior(thousand).from_standard(z), 1e3 * Prior(p).from_standard(z), rtol=1e-12
    )


def test_place_is_the_share_of_the_range():
    prior = Prior(CURVES["lightening_rate"])
    low, high = prior.low, prior.parameter.high
    np.testing.assert_allclose(prior.place([low, np.sqrt(low * high), high]), [0.0, 0.5, 1.0])
    assert np.isnan(prior.from_standard(np.nan))


def test_refusals():
    with pytest.raises(LiftError, match="no range"):
        Prior(Parameter("fixed", 1.0, "-", 1.0, 1.0, "assumed", "test"))
