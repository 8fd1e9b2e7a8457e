"""NIST StRD nonlinear regression through the fitting path of the tuning.

NIST/ITL Statistical Reference Datasets, nonlinear least squares regression: certified values,
standard deviations and residual sums of squares (reference/nist_strd_*.csv).
"""

from functools import cache

import numpy as np
import pytest
from oracles.least_squares import fit

from lift.reference import load

exp = np.exp


def gauss(b, x):
    return (
        b[0] * exp(-b[1] * x)
        + b[2] * exp(-((x - b[3]) ** 2) / b[4] ** 2)
        + b[5] * exp(-((x - b[6]) ** 2) / b[7] ** 2)
    )


def lanczos(b, x):
    return b[0] * exp(-b[1] * x) + b[2] * exp(-b[3] * x) + b[4] * exp(-b[5] * x)


def chwirut(b, x):
    return exp(-b[0] * x) / (b[1] + b[2] * x)


def cubic(b, x):
    return (b[0] + b[1] * x + b[2] * x**2 + b[3] * x**3) / (
        1.0 + b[4] * x + b[5] * x**2 + b[6] * x**3
    )


def enso(b, x):
    turn = 2.0 * np.pi * x
    return (
        b[0]
        + b[1] * np.cos(turn / 12.0)
        + b[2] * np.sin(turn / 12.0)
        + b[4] * np.cos(turn / b[3])
        + b[5] * np.sin(turn / b[3])
        + b[7] * np.cos(turn / b[6])
        + b[8] * np.sin(turn / b[6])
    )


MODELS = {
    "Bennett5": lambda b, x: b[0] * (b[1] + x) ** (-1.0 / b[2]),
    "BoxBOD": lambda b, x: b[0] * (1.0 - exp(-b[1] * x)),
    "Chwirut1": chwirut,
    "Chwirut2": chwirut,
    "DanWood": lambda b, x: b[0] * x ** b[1],
    "ENSO": enso,
    "Eckerle4": lambda b, x: b[0] / b[1] * exp(-0.5 * ((x - b[2]) / b[1]) ** 2),
    "Gauss1": gauss,
    "Gauss2": gauss,
    "Gauss3": gauss,
    "Hahn1": cubic,
    "Kirby2": lambda b, x: (b[0] + b[1] * x + b[2] * x**2) / (1.0 + b[3] * x + b[4] * x**2),
    "Lanczos1": lanczos,
    "Lanczos2": lanczos,
    "Lanczos3": lanczos,
    "MGH09": lambda b, x: b[0] * (x**2 + x * b[1]) / (x**2 + x * b[2] + b[3]),
    "MGH10": lambda b, x: b[0] * exp(b[1] / (x + b[2])),
    "MGH17": lambda b, x: b[0] + b[1] * exp(-x * b[3]) + b[2] * exp(-x * b[4]),
    "Misra1a": lambda b, x: b[0] * (1.0 - exp(-b[1] * x)),
    "Misra1b": lambda b, x: b[0] * (1.0 - (1.0 + b[1] * x / 2.0) ** -2.0),
    "Misra1c": lambda b, x: b[0] * (1.0 - (1.0 + 2.0 * b[1] * x) ** -0.5),
    "Misra1d": lambda b, x: b[0] * b[1] * x / (1.0 + b[1] * x),
    "Rat42": lambda b, x: b[0] / (1.0 + exp(b[1] - b[2] * x)),
    "Rat43": lambda b, x: b[0] / (1.0 + exp(b[1] - b[2] * x)) ** (1.0 / b[3]),
    "Roszman1": lambda b, x: b[0] - b[1] * x - np.arctan(b[2] / (x - b[3])) / np.pi,
    "Thurber": cubic,
}


@cache
def problem(name):
    data, certified = load("nist_strd_data"), load("nist_strd_certified")
    rows = np.array(data.words("set")) == name
    y, x, x2 = data.numbers("y", "x", "x2")[rows].T
    own = np.array(certified.words("set")) == name
    columns = ("start_1", "start_2", "value", "standard_deviation", "residual_sum_of_squares")
    return y, x, x2, certified.numbers(*columns)[own].T


def residuals_of(name):
    y, x, x2, _ = problem(name)

    def residuals(sets):
        b = np.moveaxis(sets, -1, 0)[..., None]
        if name == "Nelson":
            return b[0] - b[1] * x * exp(-b[2] * x2) - np.log(y)
        # A far start takes steps to where a model overflows; the fit has to step back from there.
        return np.nan_to_num(MODELS[name](b, x) - y, nan=1e150, posinf=1e150, neginf=-1e150)

    return residuals


def digits(got, certified):
    """Digits in agreement: -log10 of the relative difference, as NIST counts them."""
    return float(np.min(-np.log10(np.abs(got / certified - 1.0) + 1e-16)))


def test_every_problem_has_a_model():
    names = set(load("nist_strd_certified").words("set"))
    assert names == set(load("nist_strd_data").words("set")) == {*MODELS, "Nelson"}
    assert len(names) == 27


@pytest.mark.parametrize("start", [0, 1], ids=["far", "near"])
@pytest.mark.parametrize("name", sorted([*MODELS, "Nelson"]))
def test_six_digits_from_both_starts(name, start):
    certified = problem(name)[3]
    free = np.full(certified.shape[1], np.inf)
    found = fit(residuals_of(name), certified[start], -free, free, tolerance=1e-15, most=5000)
    assert found.converged
    assert digits(found.x, certified[2]) >= 6.0
    if name != "Lanczos1":
        # Its residuals, 1e-13 of the data, are lost in the rounding of doubles: so are the two
        # figures that come from them.
        assert digits(found.standard_errors, certified[3]) >= 6.0
        assert digits(found.misfit, certified[4][0]) >= 6.0
