"""Reflectance to XYZ, CIELAB and sRGB, and distances between colours.

Conventions: reflectance is a fraction at `lift.optics.weights.WAVELENGTHS_NM`; XYZ has Y 100 for
the perfect diffuser; every colour is the last axis of an array, so that all functions broadcast.
An element that is nan gives nan; an infinite one is refused.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lift.errors import Floats, LiftError, named
from lift.optics.weights import WAVELENGTHS_NM, weights
from lift.quantities import Lab

# CIE 15:2018, section 8.2.1, as exact fractions.
EPSILON = 216.0 / 24389.0
KAPPA = 24389.0 / 27.0

# IEC 61966-2-1, XYZ (Y 1) to linear sRGB, four decimals as printed.
XYZ_TO_SRGB = np.array(
    [[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]]
)
# Half a step of an 8 bit screen: with four decimals white itself is a little outside.
GAMUT_TOLERANCE = 0.5 / 255.0

NOTICEABLE = 1.0
"""CIELAB difference about the least that is noticed side by side: common practice (no source)."""


def white(illuminant: str = "D65", observer: int = 10) -> Floats:
    """XYZ of the perfect diffuser, shape (3,), Y 100; see `lift.optics.weights.weights`."""
    total: Floats = weights(illuminant, observer).sum(axis=0)
    return total


def reflectance_to_xyz(
    reflectance: ArrayLike, illuminant: str = "D65", observer: int = 10
) -> Floats:
    """Tristimulus values of a reflecting surface.

    Parameters
    ----------
    reflectance : array_like
        Spectral reflectance, fraction (1 for the perfect diffuser), shape (..., 81).
    illuminant : str
        See `lift.optics.weights.weights`.
    observer : int
        2 or 10 [degree].

    Returns
    -------
    numpy.ndarray
        XYZ, shape (..., 3), Y 100 for the perfect diffuser.

    Raises
    ------
    LiftError
        When the shape is not (..., 81), an element is infinite, or the light is unknown.

    Notes
    -----
    CIE 15:2018, equation 7.1, written as white less what is absorbed: the perfect diffuser absorbs
    nothing, so it comes out as white to the last bit, alone or among others.
    """
    absorbed = 1.0 - _vectors("optics.reflectance", reflectance, WAVELENGTHS_NM.size)
    return white(illuminant, observer) - absorbed @ weights(illuminant, observer)


def xyz_to_lab(xyz: ArrayLike, white: ArrayLike) -> Floats:
    """CIELAB of tristimulus values, relative to a white.

    Parameters
    ----------
    xyz : array_like
        XYZ, shape (..., 3).
    white : array_like
        XYZ of the white on the same scale, positive, shape (..., 3).

    Returns
    -------
    numpy.ndarray
        L*, a*, b*, shape (..., 3). Source: CIE 15:2018, equations 8.3 to 8.8.

    Raises
    ------
    LiftError
        When a shape is not (..., 3) or an element is infinite.
    """
    ratio = _vectors("optics.xyz", xyz) / _vectors("optics.white", white)
    f = np.where(ratio > EPSILON, np.cbrt(ratio), (KAPPA * ratio + 16.0) / 116.0)
    fx, fy, fz = np.moveaxis(f, -1, 0)
    return np.stack((116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)), axis=-1)


def lab_to_xyz(lab: ArrayLike, white: ArrayLike) -> Floats:
    """Tristimulus values of CIELAB colours; the inverse of `xyz_to_lab`.

    Parameters
    ----------
    lab : array_like
        L*, a*, b*, shape (..., 3).
    white : array_like
        XYZ of the white, shape (..., 3); the result is on its scale.

    Returns
    -------
    numpy.ndarray
        XYZ, shape (..., 3). Source: CIE 15:2018, annex D.

    Raises
    ------
    LiftError
        When a shape is not (..., 3) or an element is infinite.
    """
    lightness, a, b = _split(lab)
    fy = (lightness + 16.0) / 116.0
    f = np.stack((fy + a / 500.0, fy, fy - b / 200.0), axis=-1)
    ratio = np.where(f > 6.0 / 29.0, f**3, (116.0 * f - 16.0) / KAPPA)
    return ratio * _vectors("optics.white", white)


def reflectance_to_lab(
    reflectance: ArrayLike, illuminant: str = "D65", observer: int = 10
) -> Floats:
    """CIELAB of a reflecting surface, shape (..., 3); see `reflectance_to_xyz`."""
    xyz = reflectance_to_xyz(reflectance, illuminant, observer)
    return xyz_to_lab(xyz, white(illuminant, observer))


def mean_lab(lab: Floats, axis: int = 0, weights: Floats | None = None) -> Floats:
    """CIELAB of strands seen as one, by linear mixing of what they reflect.

    XYZ is linear in reflectance, so mixing XYZ mixes reflectance (one light, D65, 10 degrees).

    Parameters
    ----------
    lab : numpy.ndarray
        CIELAB, shape (..., 3).
    axis : int
        Axis to mix over, not the last.
    weights : numpy.ndarray, optional
        Share of each, summing to 1 over the first axis, shape (k,) or (k, ...) where k runs along
        `axis`; default: equal.
    """
    reference = white()
    xyz = lab_to_xyz(lab, reference)
    if weights is None:
        return xyz_to_lab(xyz.mean(axis=axis), reference)
    xyz = np.moveaxis(xyz, axis, 0)
    share = np.asarray(weights).reshape(*np.shape(weights), *(1,) * (xyz.ndim - np.ndim(weights)))
    return xyz_to_lab(np.sum(share * xyz, axis=0), reference)


def lab_tuple(lab: ArrayLike) -> Lab:
    """One CIELAB, shape (3,), as three plain numbers."""
    one, two, three = (float(v) for v in np.asarray(lab))
    return one, two, three


def chroma(lab: ArrayLike) -> Floats:
    """Chroma C*ab, shape (...) for CIELAB of shape (..., 3)."""
    _, a, b = _split(lab)
    return np.hypot(a, b)


def hue_deg(lab: ArrayLike) -> Floats:
    """Hue angle h_ab [degree], 0 <= h < 360, shape (...) for CIELAB of shape (..., 3)."""
    _, a, b = _split(lab)
    return _hue(a, b)


def delta_e_76(lab1: ArrayLike, lab2: ArrayLike) -> Floats:
    """Colour difference dE*ab, the distance in CIELAB; shapes (..., 3) broadcast to (...)."""
    distance: Floats = np.linalg.norm(
        _vectors("optics.lab", lab1) - _vectors("optics.lab", lab2), axis=-1
    )
    return distance


def delta_e_2000(lab1: ArrayLike, lab2: ArrayLike) -> Floats:
    """Colour difference CIEDE2000 with kL = kC = kH = 1.

    Parameters
    ----------
    lab1, lab2 : array_like
        L*, a*, b*, shapes (..., 3) that broadcast.

    Returns
    -------
    numpy.ndarray
        dE00, shape (...).

    Raises
    ------
    LiftError
        When a shape is not (..., 3) or an element is infinite.

    Notes
    -----
    Sharma, Wu & Dalal 2005, Color Res. Appl. 30:21-30; the numbers at the lines are its equations.
    Two hues exactly opposite have no unique mean, so the last bit of the angle decides.
    """
    l1, a1, b1 = _split(lab1)
    l2, a2, b2 = _split(lab2)

    c_mean = (np.hypot(a1, b1) + np.hypot(a2, b2)) / 2.0  # 2, 3
    g = 0.5 * (1.0 - _saturating(c_mean))  # 4
    a1, a2 = (1.0 + g) * a1, (1.0 + g) * a2  # 5
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)  # 6
    h1, h2 = _hue(a1, b1), _hue(a2, b2)  # 7

    dl, dc = l2 - l1, c2 - c1  # 8, 9
    turn = h2 - h1
    far = np.abs(turn) > 180.0
    dh = np.where(far, turn - np.copysign(360.0, turn), turn)  # 10
    grey = c1 * c2 == 0.0
    dh = np.where(grey, 0.0, dh)
    dh_big = 2.0 * np.sqrt(c1 * c2) * np.sin(np.radians(dh) / 2.0)  # 11

    l_mean, c_mean = (l1 + l2) / 2.0, (c1 + c2) / 2.0  # 12, 13
    total = h1 + h2
    h_mean = np.where(far, (total + np.where(total < 360.0, 360.0, -360.0)) / 2.0, total / 2.0)
    h_mean = np.where(grey, total, h_mean)  # 14
    t = (
        1.0
        - 0.17 * _cos(h_mean - 30.0)
        + 0.24 * _cos(2.0 * h_mean)
        + 0.32 * _cos(3.0 * h_mean + 6.0)
        - 0.20 * _cos(4.0 * h_mean - 63.0)
    )  # 15
    rotation = 30.0 * np.exp(-(((h_mean - 275.0) / 25.0) ** 2))  # 16
    rc = 2.0 * _saturating(c_mean)  # 17
    squared = (l_mean - 50.0) ** 2
    sl = 1.0 + 0.015 * squared / np.sqrt(20.0 + squared)  # 18
    sc = 1.0 + 0.045 * c_mean  # 19
    sh = 1.0 + 0.015 * c_mean * t  # 20
    rt = -np.sin(np.radians(2.0 * rotation)) * rc  # 21
    x, y, z = dl / sl, dc / sc, dh_big / sh
    difference: Floats = np.sqrt(np.maximum(x**2 + y**2 + z**2 + rt * y * z, 0.0))  # 22
    return difference


def xyz_to_srgb(xyz: ArrayLike) -> tuple[Floats, NDArray[np.bool_]]:
    """Screen colour of tristimulus values for D65 and the 2 degree observer.

    Parameters
    ----------
    xyz : array_like
        XYZ, Y 100 for white, shape (..., 3).

    Returns
    -------
    srgb : numpy.ndarray
        Encoded R, G, B, clipped to 0..1, shape (..., 3). Source: IEC 61966-2-1.
    in_gamut : numpy.ndarray of bool
        False where clipping changed a channel by more than half a step of 8 bits, shape (...).

    Raises
    ------
    LiftError
        When the shape is not (..., 3) or an element is infinite.
    """
    encoded = encode_srgb(_linear(xyz))
    srgb = np.clip(encoded, 0.0, 1.0)
    return srgb, np.all(np.abs(encoded - srgb) <= GAMUT_TOLERANCE, axis=-1)


def encode_srgb(linear: ArrayLike) -> Floats:
    """Encode linear sRGB channels, shape (...), for a screen, 0 to 1; source: IEC 61966-2-1.

    Negative light is encoded as the mirror image, so that a gamut test sees how far off it is.
    """
    light = np.asarray(linear, dtype=np.float64)
    size = np.abs(light)
    curve = 1.055 * np.maximum(size, 0.0031308) ** (1.0 / 2.4) - 0.055
    return np.copysign(np.where(size <= 0.0031308, 12.92 * size, curve), light)


def lab_to_linear(lab: ArrayLike) -> Floats:
    """Linear sRGB of CIELAB taken as relative to D65, shape (..., 3), not clipped.

    What `lab_to_srgb` encodes: light that adds up, 1 in each channel for white.
    """
    return _linear(lab_to_xyz(lab, white("D65", 2)))


def reflectance_to_srgb(reflectance: ArrayLike) -> tuple[Floats, NDArray[np.bool_]]:
    """Screen colour and gamut flag of a surface in D65, 2 degree observer; see `xyz_to_srgb`."""
    return xyz_to_srgb(reflectance_to_xyz(reflectance, "D65", 2))


def lab_to_srgb(lab: ArrayLike) -> tuple[Floats, NDArray[np.bool_]]:
    """Screen colour and gamut flag of CIELAB taken as relative to D65; see `xyz_to_srgb`.

    A CIELAB found with the 10 degree observer is shown as if it had been found with the 2 degree
    one: white stays white, other colours are off by about what the two observers disagree.
    """
    return xyz_to_srgb(lab_to_xyz(lab, white("D65", 2)))


def _linear(xyz: ArrayLike) -> Floats:
    linear: Floats = _vectors("optics.xyz", xyz) / 100.0 @ XYZ_TO_SRGB.T
    return linear


def srgb_to_hex(srgb: ArrayLike) -> str:
    """Write one screen colour, shape (3,) in 0..1, as ``#rrggbb``.

    Raises
    ------
    LiftError
        When it is not one colour with channels in 0..1.
    """
    channels = _vectors("optics.srgb", srgb)
    if channels.shape != (3,) or not np.all((channels >= 0.0) & (channels <= 1.0)):
        raise LiftError("optics.no_srgb", value=channels.tolist())
    red, green, blue = np.rint(channels * 255.0).astype(int)
    return f"#{red:02x}{green:02x}{blue:02x}"


def _vectors(name: str, values: ArrayLike, length: int = 3) -> Floats:
    vectors = np.asarray(values, dtype=np.float64)
    if vectors.ndim == 0 or vectors.shape[-1] != length:
        raise LiftError("optics.shape", name=named(name), shape=vectors.shape, length=length)
    if np.isinf(vectors).any():
        raise LiftError("optics.infinite", name=named(name))
    return vectors


def _split(lab: ArrayLike) -> tuple[Floats, Floats, Floats]:
    lightness, a, b = np.moveaxis(_vectors("optics.lab", lab), -1, 0)
    return lightness, a, b


def _hue(a: Floats, b: Floats) -> Floats:
    angle = np.degrees(np.arctan2(b, a)) % 360.0
    # The remainder of a tiny negative angle rounds up to 360 itself.
    return np.where(angle >= 360.0, 0.0, angle)


def _saturating(chroma: Floats) -> Floats:
    seventh = chroma**7
    return np.sqrt(seventh / (seventh + 25.0**7))


def _cos(degrees: Floats) -> Floats:
    return np.cos(np.radians(degrees))
