"""The one door to colour-science, opened only when something beyond the shipped data is asked for.

Importing colour takes about a second, so no module imports it at its head.
"""

from __future__ import annotations

import warnings
from functools import cache
from importlib import import_module
from types import ModuleType
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError
from lift.tables import nearest
from lift.words import Note, note

OBSERVERS = {
    2: "CIE 1931 2 Degree Standard Observer",
    10: "CIE 1964 10 Degree Standard Observer",
}


@cache
def colour_science() -> ModuleType:
    """Return the module ``colour``."""
    return import_module("colour")


@cache
def illuminant(name: str, low_nm: float, high_nm: float, step_nm: float) -> Floats:
    """Relative spectral power of an illuminant of colour-science.

    Parameters
    ----------
    name : str
        Name in colour-science, such as ``D65`` or ``FL11``.
    low_nm, high_nm, step_nm : float
        Wavelengths wanted [nm].

    Returns
    -------
    numpy.ndarray
        Shape (n,), read-only, relative; as tabulated, never interpolated.

    Raises
    ------
    LiftError
        When the name is unknown, or a wavelength is not in its table.
    """
    spectra = colour_science().SDS_ILLUMINANTS
    if name not in spectra:
        raise LiftError("optics.no_illuminant", name=name, meant=nearest(name, [*spectra]))
    return _at(note("optics.illuminant", name=name), spectra[name], low_nm, high_nm, step_nm)


@cache
def matching_functions(observer: int, low_nm: float, high_nm: float, step_nm: float) -> Floats:
    """Colour matching functions of the CIE 2 or 10 degree observer, shape (n, 3), read-only."""
    functions = colour_science().MSDS_CMFS[OBSERVERS[observer]]
    return _at(note("optics.observer", degrees=observer), functions, low_nm, high_nm, step_nm)


def cat16_matrix(white: ArrayLike, white_to: ArrayLike) -> Floats:
    """Matrix that adapts XYZ seen under one white to another, complete CAT16 adaptation.

    Parameters
    ----------
    white, white_to : array_like
        XYZ of the two whites, positive, on one scale, shape (3,).

    Returns
    -------
    numpy.ndarray
        Shape (3, 3), for column vectors: ``xyz_to = matrix @ xyz``. Source: Li et al. 2017,
        Color Res. Appl. 42:703, with a degree of adaptation of 1, by colour-science.
    """
    adapt = colour_science().adaptation.matrix_chromatic_adaptation_VonKries
    return np.array(adapt(white, white_to, transform="CAT16"), dtype=float)


def colour_temperature(white: ArrayLike) -> float:
    """Correlated colour temperature [K] of a light with that XYZ, 2 degrees (Ohno 2013)."""
    return float(colour_science().temperature.XYZ_to_CCT_Ohno2013(np.asarray(white))[0])


def _at(what: Note, spectra: Any, low_nm: float, high_nm: float, step_nm: float) -> Floats:
    wanted = np.arange(low_nm, high_nm + step_nm / 2.0, step_nm)
    if not np.isin(wanted, spectra.wavelengths).all():
        shape = spectra.shape
        raise LiftError(
            "optics.not_tabulated",
            what=what,
            start=shape.start,
            end=shape.end,
            interval=shape.interval,
            low=low_nm,
            high=high_nm,
            step=step_nm,
        )
    values = np.array(spectra.values[np.searchsorted(spectra.wavelengths, wanted)], dtype=float)
    values.flags.writeable = False
    return values


def reflectance_to_xyz_astm(reflectances: Floats) -> Floats:
    """XYZ by colour-science's ASTM E308 (D65, 10 degrees): the check on our own summation.

    Parameters
    ----------
    reflectances : numpy.ndarray
        Fractions, 380 to 780 nm at 5 nm, shape (k, 81).

    Returns
    -------
    numpy.ndarray
        XYZ, 0 to 100, shape (k, 3).
    """
    colour = colour_science()
    observer = colour.MSDS_CMFS[OBSERVERS[10]]
    light = colour.SDS_ILLUMINANTS["D65"].copy().align(observer.shape)
    wavelengths = np.arange(380.0, 785.0, 5.0)
    spectra = (colour.SpectralDistribution(row, wavelengths) for row in reflectances)
    with warnings.catch_warnings():
        # It aligns the light to its own copy of the observer, and says so.
        warnings.filterwarnings("ignore", "Aligning", colour.utilities.ColourRuntimeWarning)
        return np.stack([colour.sd_to_XYZ(s, observer, light, method="ASTM E308") for s in spectra])
