"""Laboratories of another physics than lift's: nothing of its forward model is used here.

The mass is Kubelka and Munk's, infinitely thick, where lift has fibres that scatter; melanin goes
along a logistic of the logarithm of time, where lift has first-order decay after soaking in; what
lightening exposes is an absorber with an edge, where lift has exponentials. All numbers are
invented. Only colorimetry (CIE) and the table of swatches are lift's.
"""

from __future__ import annotations

import numpy as np

from lift.optics.colorimetry import reflectance_to_lab
from lift.optics.weights import WAVELENGTHS_NM
from lift.research.swatches.generate import design

LEVEL_SD = 0.3
RATE_SD = 0.2
SCATTER = (0.6, 0.4, 0.5)
QUICKER = {"cream": 1.0, "powder": 3.0}


def colour(level, kind, volume, minutes, rate=1.0):
    """CIELAB of strands after some minutes, shape (..., 3); arguments broadcast."""
    quicker = np.vectorize(QUICKER.get)(kind)
    level, volume, minutes, rate = (np.asarray(v, float) for v in (level, volume, minutes, rate))
    speed = rate * quicker * (volume / 20.0) ** 0.8
    left = 1.0 / (1.0 + (minutes * speed / 12.0) ** 1.3)
    melanin = 25.0 * np.exp(-0.72 * (level - 3.0))
    exposed = 0.5 * melanin * (1.0 - left) * left
    brown = (WAVELENGTHS_NM / 550.0) ** -3.0
    edge = 2.0 / (1.0 + np.exp((WAVELENGTHS_NM - 530.0) / 30.0))
    keratin = 0.08 * (WAVELENGTHS_NM / 550.0) ** -4.0
    absorbed = (melanin * left)[..., None] * brown + exposed[..., None] * edge + keratin
    mass = 1.0 + absorbed - np.sqrt(absorbed**2 + 2.0 * absorbed)
    return reflectance_to_lab(0.02 + 0.75 * mass)


def laboratory(swatches, seed):
    """Measure swatches as laid out: judged levels, strands that differ in rate, scatter."""
    random = np.random.default_rng(seed)
    laid = design(swatches)
    rates = np.exp(RATE_SD * random.standard_normal(swatches))[laid.swatch]
    true = colour(np.asarray(laid.level)[laid.swatch], laid.kind, laid.volume, laid.minutes, rates)
    judged = np.round(2.0 * (laid.level + LEVEL_SD * random.standard_normal(swatches))) / 2.0
    lab = true + np.array(SCATTER) * random.standard_normal(true.shape)
    return laid.replace(lab=lab, level=np.clip(judged, 1.0, 10.0), invented=True)
