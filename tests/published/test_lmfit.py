"""Standard errors, correlations and profile intervals against lmfit's on NIST problems.

lmfit (Newville et al.) fits with MINPACK and finds intervals by an F test of its own.
"""

import numpy as np
import pytest
from oracles.least_squares import fit, profile_interval

from lift.reference import load

lmfit = pytest.importorskip("lmfit")

MODELS = {
    "Misra1a": lambda b, x: b[0] * (1.0 - np.exp(-b[1] * x)),
    "Chwirut2": lambda b, x: np.exp(-b[0] * x) / (b[1] + b[2] * x),
    "MGH09": lambda b, x: b[0] * (x**2 + x * b[1]) / (x**2 + x * b[2] + b[3]),
}


@pytest.fixture(params=MODELS)
def problem(request):
    data, certified = load("nist_strd_data"), load("nist_strd_certified")
    rows = np.array(data.words("set")) == request.param
    y, x = data.numbers("y", "x")[rows].T
    own = np.array(certified.words("set")) == request.param
    start = certified.numbers("start_2")[own]

    def residuals(sets):
        return MODELS[request.param](np.moveaxis(sets, -1, 0)[..., None], x) - y

    free = np.full(start.size, np.inf)
    found = fit(residuals, start, -free, free, tolerance=1e-14)
    parameters = lmfit.Parameters()
    for name, value in zip("abcd", start, strict=False):
        parameters.add(name, value)
    names = list(parameters)

    def at(p):
        return residuals(np.array([[p[n].value for n in names]]))[0]

    minimizer = lmfit.Minimizer(at, parameters)
    return residuals, found, minimizer, minimizer.minimize(), names


def test_errors_and_correlations(problem):
    _, found, _, theirs, names = problem
    np.testing.assert_allclose(
        found.standard_errors, [theirs.params[n].stderr for n in names], rtol=1e-3
    )
    for i, one in enumerate(names):
        for j, other in enumerate(names):
            if i != j:
                correlation = theirs.params[one].correl[other]
                assert found.correlations[i, j] == pytest.approx(correlation, abs=1e-3)


def test_profile_intervals(problem):
    residuals, found, minimizer, theirs, names = problem
    limits = lmfit.conf_interval(minimizer, theirs, sigmas=[0.9])
    for column, name in enumerate(names):
        interval = profile_interval(residuals, found, column, coverage=0.9)
        error = found.standard_errors[column]
        assert interval.low == pytest.approx(limits[name][0][1], abs=2e-3 * error)
        assert interval.high == pytest.approx(limits[name][2][1], abs=2e-3 * error)
