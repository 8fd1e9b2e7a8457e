"""Photographs that are computed: a chart beside hair, from published parts only.

Camera sensitivities (National Physical Laboratory, carried by colour-science), reflectances of the
chart's patches, CIE illuminants, spectra of the model's hair, the curve of sRGB, 8 bits and JPEG.
How uneven, noisy and tilted they are is invented: these pictures check a computation, they are no
evidence about hair.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats
from lift.model.curves import default_curves
from lift.model.strand import lightened, natural_pigment, strand_reflectance
from lift.optics import adapter
from lift.optics.colorimetry import XYZ_TO_SRGB, encode_srgb, reflectance_to_xyz
from lift.optics.weights import HIGH_NM, LOW_NM, STEP_NM, WAVELENGTHS_NM
from lift.photo.chart import GAP, chart_places, to_picture
from lift.photo.editions import COLUMNS, ROWS, patch_reflectance

LIGHTS = ("D65", "LED-B3", "A")
CAMERAS = (0, 1)

BOARD = 0.03
"""Reflectance of the chart's frame: assumed."""

WHITE = 0.9
"""Reflectance of the white patch, nearly."""

TABLE = 0.25
"""Reflectance of what lies around: assumed."""


@dataclass(frozen=True, eq=False)
class Scene:
    """What is photographed, and how.

    Parameters
    ----------
    hair : numpy.ndarray
        Reflectance of one or two locks, shape (81,) or (2, 81).
    light, hair_light : str
        CIE illuminant on the chart, and on the hair where that is another.
    mixed : str
        A second light that grows from none at the left edge to all at the right; empty: none.
    camera : int
        0 or 1, see `sensitivities`.
    noise : float
        Standard deviation of a pixel in shares of full scale, and of what is recorded of each
        patch and lock, by channel, in shares of itself [-].
    exposure : float
        Signal of the white patch in shares of full scale [-].
    vignetting, slope : float
        Light lost in the corners, and change of light from left to right, in shares [-].
    tilt : float
        How far corners lie off a rectangle, in shares of the chart's width [-].
    bend : float
        How far the chart's middle bulges, in shares of its height [-].
    texture, shine, shadow : float
        Variation between the fibres' pixels; shares of the lock in shine and in shadow [-].
    tone : float
        Power that a tone curve of the camera's adds to the curve of sRGB [-]; 1: none.
    quality : int
        Of the JPEG, 1 to 95; 0: none.
    size : tuple of int
        Width and height [pixel].
    edition : str
        Of the chart.
    seed : int
        The same seed draws the same picture.
    """

    hair: Floats
    light: str = "D65"
    hair_light: str = ""
    mixed: str = ""
    camera: int = 0
    noise: float = 0.0
    exposure: float = 0.8
    vignetting: float = 0.0
    slope: float = 0.0
    tilt: float = 0.0
    bend: float = 0.0
    texture: float = 0.05
    shine: float = 0.06
    shadow: float = 0.06
    tone: float = 1.0
    quality: int = 0
    size: tuple[int, int] = (360, 220)
    edition: str = "ohta"
    seed: int = 0


@dataclass(frozen=True, eq=False)
class Photograph:
    """A computed photograph.

    Parameters
    ----------
    pixels : numpy.ndarray
        8 bits, shape (height, width, 3).
    chart : numpy.ndarray
        Corners of the chart [pixel], shape (4, 2).
    hair : tuple of numpy.ndarray
        Box of each lock by two corners [pixel], shape (2, 2).
    """

    pixels: NDArray[np.uint8]
    chart: Floats
    hair: tuple[Floats, ...]


@cache
def sensitivities(camera: int) -> Floats:
    """Sensitivities of one of two cameras that the NPL measured, shape (81, 3), largest 1."""
    known = adapter.colour_science().MSDS_CAMERA_SENSITIVITIES
    measured = known[sorted(name for name in known if "(NPL)" in name)[camera]]
    columns = (
        np.interp(WAVELENGTHS_NM, measured.wavelengths, column, left=0.0, right=0.0)
        for column in measured.values.T
    )
    found = np.stack([*columns], axis=-1)
    return np.asarray(found / found.max())


def signals(reflectance: Floats, light: str, camera: int) -> Floats:
    """Signal of surfaces, balanced so that the perfect diffuser gives 1, shape (..., 3)."""
    power = adapter.illuminant(light, LOW_NM, HIGH_NM, STEP_NM)
    seen = sensitivities(camera) * power[:, None]
    return np.asarray(reflectance @ (seen / seen.sum(axis=0)))


@cache
def _own_matrix(light: str, camera: int) -> Floats:
    """Matrix to linear sRGB that the camera applies, for row vectors; greys stay grey.

    As cameras do, by least squares over patches (daylight colours of the chart), white kept.
    """
    seen = signals(patch_reflectance(), light, camera)
    wanted = reflectance_to_xyz(patch_reflectance(), "D65", 2) / 100.0 @ XYZ_TO_SRGB.T
    # A matrix whose columns sum to 1 adds differences of channels to each channel.
    found = np.zeros((3, 3))
    for channel in range(3):
        others = [each for each in range(3) if each != channel]
        apart = seen[:, others] - seen[:, [channel]]
        weight = np.linalg.lstsq(apart, wanted[:, channel] - seen[:, channel], rcond=None)[0]
        found[others, channel] = weight
        found[channel, channel] = 1.0 - weight.sum()
    return found


def some_hair(count: int, seed: int = 0) -> Floats:
    """Reflectance of natural and lightened hair of every level, shape (count, 81)."""
    values, random = default_curves().values, np.random.default_rng(seed)
    share = np.exp(random.normal(np.log(values["pheomelanin_share"]), 0.5, count))
    natural = natural_pigment(random.uniform(1.0, 9.0, count), np.minimum(share, 1.0), values)
    exposure = np.where(random.random(count) < 0.3, 0.0, random.uniform(0.0, 5.0, count))
    return strand_reflectance(lightened(natural, exposure, values), values)


def photograph(scene: Scene) -> Photograph:
    """Take the photograph of a scene."""
    random = np.random.default_rng(scene.seed)
    width, height = scene.size
    corners = _corners(scene, random)
    locks = np.atleast_2d(scene.hair)
    boxes = _boxes(len(locks), width, height)
    y, x = np.mgrid[0:height, 0:width] + 0.5
    material = _materials(x, y, corners, boxes, scene.bend)
    surfaces = np.vstack(
        [
            np.full((2, WAVELENGTHS_NM.size), [[TABLE], [BOARD]]),
            patch_reflectance(scene.edition),
            locks,
        ]
    )
    off = np.exp(scene.noise * random.standard_normal((len(surfaces), 3)))
    first_lock = len(surfaces) - len(locks)
    on_hair = np.arange(len(surfaces)) >= first_lock

    own = _own_matrix(scene.light, scene.camera)

    def lit(light: str, on_locks: str) -> Floats:
        # The camera is balanced for the chart's light, whatever falls on anything.
        seen = [
            signals(surfaces, each, scene.camera) * _tint(each, scene.light, scene.camera)
            for each in (light, on_locks)
        ]
        recorded = np.where(on_hair[:, None], seen[1], seen[0]) @ own
        return np.asarray(recorded * off)[material]

    light = lit(scene.light, scene.hair_light or scene.light)
    if scene.mixed:
        share = (x / width)[..., None]
        light = (1.0 - share) * light + share * lit(scene.mixed, scene.mixed)
    hairy = material >= first_lock
    light[hairy] *= _lock_light(scene, int(hairy.sum()), random)[:, None]
    light[_share_of(hairy, y, scene.shadow, upper=False)] *= 0.45
    light[_share_of(hairy, y, scene.shine, upper=True)] += 0.12
    light *= scene.exposure / WHITE * _unevenness(scene, x, y)[..., None]
    light += scene.noise * random.standard_normal(light.shape)
    encoded = np.clip(encode_srgb(np.clip(light, 0.0, 1.0)), 0.0, 1.0) ** scene.tone
    pixels = np.rint(255.0 * encoded).astype(np.uint8)
    if scene.quality:
        pixels = _through_jpeg(pixels, scene.quality)
    return Photograph(pixels, corners, tuple(np.array(box, dtype=float) for box in boxes))


def as_jpeg(pixels: NDArray[np.uint8], quality: int, **more: Any) -> bytes:
    """Bytes of the JPEG of a picture."""
    from PIL import Image

    file = BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=quality, **more)
    return file.getvalue()


def _through_jpeg(pixels: NDArray[np.uint8], quality: int) -> NDArray[np.uint8]:
    from PIL import Image

    with Image.open(BytesIO(as_jpeg(pixels, quality))) as image:
        return np.asarray(image)


def _corners(scene: Scene, random: np.random.Generator) -> Floats:
    width, height = scene.size
    across = 0.58 * width
    down = across * (ROWS + (ROWS - 1) * GAP) / (COLUMNS + (COLUMNS - 1) * GAP)
    left, top = 0.05 * width, (height - down) / 2.0
    square = np.array([[0.0, 0.0], [across, 0.0], [across, down], [0.0, down]])
    square += np.array([left, top])
    return np.asarray(square + scene.tilt * across * random.uniform(-1.0, 1.0, (4, 2)))


def _boxes(count: int, width: int, height: int) -> Sequence[tuple[tuple[int, int], ...]]:
    left, right = int(0.72 * width), int(0.96 * width)
    edges = np.linspace(0.1 * height, 0.9 * height, count + 1).astype(int)
    gap = int(0.02 * height)
    return [((left, int(a) + gap), (right, int(b) - gap)) for a, b in pairwise(edges)]


def _materials(
    x: Floats, y: Floats, corners: Floats, boxes: Sequence[Any], bend: float
) -> NDArray[np.intp]:
    """What lies at each pixel: 0 table, 1 frame, 2 to 25 patches, 26 on locks."""
    u, v = np.moveaxis(to_picture(np.stack([x, y], axis=-1), corners, back=True), -1, 0)
    v = v + bend * 4.0 * u * (1.0 - u)
    found = np.zeros(x.shape, dtype=np.intp)
    edge = 0.04
    inside = (u > -edge) & (u < 1.0 + edge) & (v > -edge) & (v < 1.0 + edge)
    found[inside] = 1
    starts, side = chart_places()
    column, column_in = _cell(u, np.unique(starts[:, 0]), side[0])
    row, row_in = _cell(v, np.unique(starts[:, 1]), side[1])
    patch = inside & column_in & row_in
    found[patch] = 2 + (row * COLUMNS + column)[patch]
    for number, ((left, top), (right, bottom)) in enumerate(boxes):
        found[(x > left) & (x < right) & (y > top) & (y < bottom)] = 2 + ROWS * COLUMNS + number
    return found


def _cell(at: Floats, starts: Floats, side: float) -> tuple[NDArray[np.intp], NDArray[np.bool_]]:
    cell = np.clip(np.searchsorted(starts, at, side="right") - 1, 0, starts.size - 1)
    return cell, (at >= starts[cell]) & (at <= starts[cell] + side)


def _tint(of: str, balanced_for: str, camera: int) -> Floats:
    """Signal of white under one light with a camera balanced for another, green kept."""
    power = [adapter.illuminant(name, LOW_NM, HIGH_NM, STEP_NM) for name in (of, balanced_for)]
    seen = [light @ sensitivities(camera) for light in power]
    ratio = seen[0] / seen[1]
    return np.asarray(ratio / ratio[1])


def _lock_light(scene: Scene, count: int, random: np.random.Generator) -> Floats:
    spread = scene.texture
    return np.asarray(np.exp(random.normal(-(spread**2) / 2.0, spread, count)))


def _share_of(hairy: NDArray[np.bool_], y: Floats, share: float, *, upper: bool) -> Any:
    """Pixels of a band across the locks that is a share of their height."""
    if share == 0.0 or not hairy.any():
        return np.zeros_like(hairy)
    rows = y[hairy]
    low, high = rows.min(), rows.max()
    middle = low + (0.3 if upper else 0.7) * (high - low)
    return hairy & (np.abs(y - middle) < share * (high - low) / 2.0)


def _unevenness(scene: Scene, x: Floats, y: Floats) -> Floats:
    width, height = scene.size
    across, down = (x - width / 2.0) / width, (y - height / 2.0) / width
    outward = (across**2 + down**2) / (0.25 + (height / width) ** 2 / 4.0)
    return np.asarray((1.0 - scene.vignetting * outward) * (1.0 + scene.slope * across))
