"""Uptake against Crank's laws and against solutions that do not share its closed forms."""

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.special import jn_zeros

from lift.chemistry.uptake import contact_dose, cylinder_uptake

RATE = 1 / 60
MINUTES = (0.1, 0.5, 2.0, 10.0, 35.0, 120.0)


def crank_series(scaled):
    """Crank 1975, chapter 5 (from memory): 1 - sum 4/a_n^2 exp(-a_n^2 x), with 20 000 zeros of J0.

    Scipy gives 2000 of them, McMahon's first two terms the rest (right to 1e-12 there).
    """
    later = (np.arange(2001, 20001) - 0.25) * np.pi
    squares = np.append(jn_zeros(0, 2000), later + 1 / (8 * later)) ** 2
    inside = -np.expm1(-squares * np.asarray(scaled)[..., None]) @ (4.0 / squares)
    return inside + 1.0 - np.sum(4.0 / squares)


def test_square_root_law_at_early_times():
    """Crank 1975, chapter 5: M = 4/sqrt(pi) x^1/2 - x - x^3/2 / (3 sqrt(pi)) ..., x = D t / r^2.

    From memory, and by the expansion of I1/I0 for large arguments in the Laplace transform,
    which also gives the next two terms: -x^2 / 8 and -0.1175 x^5/2.
    """
    scaled = np.geomspace(2e-3, 2e-2, 25)
    uptake = cylinder_uptake(scaled, 1.0)
    root = 4.0 / np.sqrt(np.pi) * np.sqrt(scaled)
    three = root - scaled - scaled**1.5 / (3.0 * np.sqrt(np.pi))
    # Each truncation is right to the size of its next term.
    assert np.all((root - uptake > 0.9 * scaled) & (root - uptake < 1.1 * scaled))
    assert np.all(np.abs(three - scaled**2 / 8.0 - uptake) < 0.15 * scaled**2.5 + 2e-8)


def test_square_root_law_still_holds_in_the_first_seconds():
    """To 1 % down to x = 1e-6, where bundled terms carry the series."""
    scaled = np.geomspace(1e-6, 2e-3, 50)
    law = 4.0 / np.sqrt(np.pi) * np.sqrt(scaled) - scaled
    np.testing.assert_allclose(cylinder_uptake(scaled, 1.0), law, rtol=0.01)


def test_uptake_against_many_times_the_terms():
    scaled = RATE * np.array(MINUTES)
    np.testing.assert_allclose(cylinder_uptake(MINUTES, RATE), crank_series(scaled), rtol=1e-6)
    early = np.geomspace(8e-4, 1.5e-3, 10)
    np.testing.assert_allclose(cylinder_uptake(early, 1.0), crank_series(early), rtol=1e-4)


@pytest.mark.parametrize("fade", [3.0, 40.0, np.inf])
def test_dose_against_many_times_the_terms(fade):
    """Quadrature (Gauss-Legendre) of Crank's series convolved with e^(-t / fade), to 1e-6."""
    nodes, weights = np.polynomial.legendre.leggauss(60)
    for minutes in MINUTES:
        # v^2 for the time since the step: uptake starts as a square root.
        v = np.sqrt(minutes) * (nodes + 1.0) / 2.0
        response = 2.0 * v * crank_series(RATE * v**2) * np.exp(-(minutes - v**2) / fade)
        integral = np.sqrt(minutes) / 2.0 * weights @ response
        assert contact_dose(minutes, RATE, fade) == pytest.approx(integral, rel=1e-6)


@pytest.mark.parametrize("fade", [1.0, 5.0, 60.0 / 2.404825557695773**2, 40.0, 1e4, np.inf])
def test_dose_against_quadrature_of_the_convolution(fade):
    """Scipy's quad over the uptake of the same lags, to 1e-8: the closed form is exact.

    One fade is that at which the first term and the mixture have the same rate.
    """
    for minutes in (0.1, 1.0, 8.0, 35.0, 90.0):

        def response(v, minutes=minutes):
            return 2.0 * v * cylinder_uptake(v * v, RATE) * np.exp(-(minutes - v * v) / fade)

        integral, _ = quad(response, 0.0, np.sqrt(minutes), epsabs=0.0, epsrel=1e-11, limit=400)
        assert contact_dose(minutes, RATE, fade) == pytest.approx(integral, rel=1e-8)


def diffused(fade, times, shells):
    """Mean concentration and its time integral by finite volumes and scipy's LSODA.

    Shells grow thinner towards the surface; the last unknown is the integral.
    """
    edges = 1.0 - (1.0 - np.linspace(0.0, 1.0, shells + 1)) ** 1.5
    areas = np.diff(edges**2)  # over pi, so they add up to 1
    middles = np.append((edges[1:] + edges[:-1]) / 2.0, 1.0)
    conductance = RATE * 2.0 * edges[1:] / np.diff(middles)

    def change(time, y):
        flow = conductance * np.diff(np.append(y[:-1], np.exp(-time / fade)))
        return np.append(np.diff(np.append(0.0, flow)) / areas, areas @ y[:-1])

    start = np.zeros(shells + 1)
    options = {"method": "LSODA", "lband": 1, "uband": 1, "rtol": 1e-9, "atol": 1e-11}
    solution = solve_ivp(change, (0.0, times[-1]), start, t_eval=times, **options)
    return np.array([areas @ solution.y[:-1], solution.y[-1]])


@pytest.mark.parametrize("fade", [8.0, 40.0, np.inf])
def test_against_the_diffusion_equation(fade):
    """Fick's law in a cylinder solved without the series, 200 and 400 shells extrapolated."""
    times = np.array([2.0, 10.0, 35.0, 90.0])
    coarse, fine = diffused(fade, times, 200), diffused(fade, times, 400)
    uptake, dose = fine + (fine - coarse) / 3.0  # the error falls with the square of the shells
    np.testing.assert_allclose(contact_dose(times, RATE, fade), dose, rtol=2e-7)
    if np.isinf(fade):
        np.testing.assert_allclose(cylinder_uptake(times, RATE), uptake, rtol=2e-7)
