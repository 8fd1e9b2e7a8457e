"""A colour from a photograph with a chart in it: ``lift.measure``."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats, LiftError
from lift.model.curves import CurveSet, default_curves
from lift.model.natural import natural_path
from lift.optics.colorimetry import delta_e_2000
from lift.photo.camera import LEAST_LIGHT, Camera, Seen, find_camera
from lift.photo.chart import Patches, Which, check_corners, read_patches
from lift.photo.correction import Correction, nearness
from lift.photo.editions import EDITIONS, GREYS, patch_xyz
from lift.photo.hairlike import hair_like
from lift.photo.measured import Difference, LeftOut, Measured
from lift.photo.picture import Picture, as_picture
from lift.photo.region import TILES, Taken, take
from lift.words import Note, note

AS_PATCHES = 0.33
"""How far hair is off, as a share of what patches near it, left out, are; as `LEAST_SD`."""

AS_LIGHT = 0.6
"""The same of light, for the second estimate."""

LEAST_SD = np.array([0.42, 0.34, 1.15])
"""What no patch left out tells of, in L*, a*, b*: chosen on computed photographs, so that nine in
ten colours lie in their intervals of 90 %, axis by axis."""

ALIKE = 15.0
"""Distance [dE*ab] over which two colours in one picture are off together: assumed."""

CODES = 0.25
"""Standard deviation of the hair's light by what codes and compression round: assumed [codes]."""

REFUSED = 5.0
"""Error [dE00] of patches left out past which nothing is told: assumed."""

DOUBTED = 12.0
"""Error [dE00] of the worst patch left out from which an answer warns: assumed."""

APART = 5.0
"""Difference [dE00] of the two estimates from which an answer warns: assumed."""

TINTED = 0.08
"""Change of the greys' tint, in even light, from which an answer warns [-]: one in a hundred
computed photographs in one light has more, filters have more."""

MIXED, MIXED_MUCH = 0.07, 0.25
"""Tint of the light over half the picture [-] from which an answer warns, and is refused: of 200
computed photographs in one light none has 0.07, daylight that grows to one 1,000 K warmer has 0.09
to 0.14, to sunlight 0.15 to 0.25, and is corrected; daylight and lamps have 0.28 and more, and
metals and dyes that match in one of them differ in the other."""

UNEVEN_HAIR = 0.35
"""Spread of the hair's light [-] from which light and dark are in it side by side: assumed."""

CAUTIONS = (note("photo.caution.person"), note("photo.caution.measures"))


def measure(
    image: Any,
    chart: ArrayLike,
    region: ArrayLike,
    *,
    edition: str = EDITIONS[0],
    curves: CurveSet | None = None,
) -> Measured:
    """Measure a colour in a photograph that shows a colour chart beside it.

    Parameters
    ----------
    image : path, bytes or array_like
        The photograph: a file (JPEG, PNG, TIFF; with extras HEIC and raw), what is in one, or
        codes of 8 or 16 bits, shape (height, width, 3).
    chart : array_like
        Corners of the classic chart of 24 patches [pixel], outer edges of the patches, clockwise
        from the outer corner of the dark-skin patch, shape (4, 2).
    region : array_like
        The hair: two corners of a box, or an outline [pixel], shape (n, 2).
    edition : str
        Which measured chart: one of `lift.photo.editions.EDITIONS`.
    curves : CurveSet, optional
        Default: the shipped set.

    Returns
    -------
    Measured
        CIELAB (D65, 10 degrees) with standard deviations, and what is to be said of it.

    Raises
    ------
    LiftError
        When the picture, the chart or the hair cannot be measured: one line with what to do.

    Examples
    --------
    >>> from lift.make.photograph import Scene, photograph, some_hair
    >>> taken = photograph(Scene(some_hair(1)[0]))  # a computed photograph
    >>> found = measure(taken.pixels, taken.chart, taken.hair[0])
    >>> found.pigment.plausible, bool(found.sd[0] < 2.0)
    (True, True)
    """
    return open_chart(image, chart, edition=edition).measure(region, curves=curves)


def measure_difference(
    image: Any,
    chart: ArrayLike,
    region: ArrayLike,
    other: ArrayLike,
    *,
    edition: str = EDITIONS[0],
    curves: CurveSet | None = None,
) -> Difference:
    """Measure two regions of one photograph and how the second differs; see `measure`.

    Parameters
    ----------
    image, chart, region, edition, curves
        See `measure`.
    other : array_like
        The other region: before and after, two zones, hair and a swatch [pixel], shape (n, 2).

    Examples
    --------
    >>> from lift.make.photograph import Scene, photograph, some_hair
    >>> taken = photograph(Scene(some_hair(2)))  # a computed photograph
    >>> found = measure_difference(taken.pixels, taken.chart, *taken.hair)
    >>> bool((found.sd <= np.hypot(found.first.sd, found.second.sd)).all())
    True
    """
    opened = open_chart(image, chart, edition=edition)
    return opened.measure_difference(region, other, curves=curves)


@dataclass(frozen=True, eq=False)
class Chart:
    """A photograph whose chart was read: any number of regions can be measured in it.

    Parameters
    ----------
    picture : Picture
        The photograph.
    corners : numpy.ndarray
        Of the chart [pixel], shape (4, 2).
    patches : Patches
        What the patches show.
    camera : Camera
        Camera and light behind it.
    correction : Correction
        From light to colour.
    edition : str
        Of the chart.
    white : float
        Light of the brightest grey patch, of full scale [-].
    warnings : tuple of Note
        About picture and chart.
    """

    picture: Picture
    corners: Floats
    patches: Patches
    camera: Camera
    correction: Correction
    edition: str
    white: float
    warnings: tuple[Note, ...]

    @property
    def left_out(self) -> LeftOut:
        """Errors of the patches, each found without itself."""
        errors = self.correction.errors
        method = self.correction.method
        return LeftOut(float(np.median(errors)), float(np.max(errors)), method)

    def measure(self, region: ArrayLike, *, curves: CurveSet | None = None) -> Measured:
        """Measure a region [pixel], shape (n, 2); see `lift.photo.measure.measure`."""
        curves = curves or default_curves()
        taken, codes = take(self.picture, region, self.corners)
        log_light = np.log(np.maximum(self.picture.light(codes) / self.white, LEAST_LIGHT))
        place = to_middle(taken.places, self.picture)
        even = self.camera.even_light(log_light, place)
        light = even.mean(axis=0)
        lab = self.correction.lab(light)
        near = self.correction.error_near(lab)
        if np.linalg.norm(near) > REFUSED * 2.0:
            error = float(np.linalg.norm(near))
            raise LiftError("photo.not_told", error=error, why=_why(self.warnings))
        varied = _variation(even / light, taken)
        uneven = self._unevenness(log_light, place, lab)
        slope = self._slope(light)
        own = slope @ (varied + uneven) @ slope.T
        sd = np.sqrt((AS_PATCHES * near) ** 2 + LEAST_SD**2 + np.diag(own))
        code = np.diag(CODES * self.picture.step(light * self.white) / (light * self.white)) ** 2
        light_off = (AS_LIGHT * self._misfit(lab)) ** 2 * np.eye(3) + code
        pigment = hair_like(light, light_off + varied + uneven, self.camera.sensitivity, curves)
        level = float(natural_path(curves).level_of_lightness(lab[0]))
        measured = Measured(
            lab=lab,
            sd=sd,
            level=level,
            pigment=pigment,
            left_out=self.left_out,
            taken=taken,
            warnings=self.warnings,
            cautions=CAUTIONS,
            edition=self.edition,
            own=own,
            curves=curves,
        )
        return _with_doubts(measured)

    def measure_difference(
        self, region: ArrayLike, other: ArrayLike, *, curves: CurveSet | None = None
    ) -> Difference:
        """Measure two regions [pixel], shape (n, 2), and how the second differs."""
        first, second = (self.measure(each, curves=curves) for each in (region, other))
        apart = float(np.sum((second.lab - first.lab) ** 2))
        # The nearer two colours are, the more of what the chart is off is the same in both.
        alone = 1.0 - np.exp(-0.5 * apart / ALIKE**2)
        own = np.diag(first.own) + np.diag(second.own)
        shared = first.sd**2 + second.sd**2 - own
        return Difference(
            first,
            second,
            second.lab - first.lab,
            np.sqrt(own + alone * shared),
            float(delta_e_2000(first.lab, second.lab)),
        )

    def _unevenness(self, log_light: Floats, place: Floats, lab: Floats) -> Floats:
        """Covariance of the logarithm of light by what the light's unevenness is off, (3, 3)."""
        here = self.camera.terms(log_light, place).mean(axis=0)
        weight = nearness(self.correction.known, lab)
        on_chart = np.tensordot(weight / weight.sum(), self.camera.chart_terms, axes=1)
        # Off together with the patches it is compared with, it is not off.
        beyond = here - on_chart
        return np.asarray(beyond @ self.camera.covariance @ beyond.T)

    def _misfit(self, lab: Floats) -> float:
        """Misfit of light of patches near a colour, left out [-]."""
        weight = nearness(self.correction.known, lab)
        return float(np.sqrt(weight @ np.mean(self.camera.misfit**2, axis=1) / weight.sum()))

    def _slope(self, light: Floats) -> Floats:
        """Change of CIELAB with the logarithm of light, shape (3, 3)."""
        step = 0.01
        moved = self.correction.lab(light * np.exp(step * np.eye(3)))
        return np.asarray((moved - self.correction.lab(light)).T / step)


def open_chart(image: Any, chart: ArrayLike, *, edition: str = EDITIONS[0]) -> Chart:
    """Read the chart of a photograph once, to measure several regions; see `measure`."""
    xyz = patch_xyz(edition)
    picture = as_picture(image)
    corners = check_corners(chart, picture)
    patches = read_patches(picture, corners)
    good = patches.good
    white = float(patches.light[GREYS].max())
    log_light = np.log(np.maximum(patches.light[good] / white, LEAST_LIGHT))
    place = to_middle(patches.place[good], picture)
    camera = find_camera(Seen(log_light, place, good, edition))
    if camera.tint > MIXED_MUCH:
        raise LiftError("photo.mixed", change=camera.tint, most=MIXED_MUCH)
    opened = Chart(
        picture,
        corners,
        patches,
        camera,
        Correction(camera.light, xyz[good]),
        edition,
        white,
        (*_tinted(camera, good), *picture.warnings, *patches.warnings),
    )
    if opened.left_out.median > REFUSED:
        raise LiftError(
            "photo.left_out", error=opened.left_out.median, most=REFUSED, why=_why(opened.warnings)
        )
    return opened


def _why(warnings: tuple[Note, ...]) -> Note | str:
    """The first sign of what may be behind a refusal."""
    return note("photo.why", told=warnings[0]) if warnings else ""


def to_middle(places: Floats, picture: Picture) -> Floats:
    """Places [pixel] from the picture's middle, 1 for half its diagonal, shape (..., 2)."""
    height, width = picture.pixels.shape[:2]
    middle = np.array([width, height]) / 2.0
    return np.asarray((places - middle) / np.hypot(*middle))


def _variation(even: Floats, taken: Taken) -> Floats:
    """Covariance of the logarithm of the mean light by how the hair's tiles vary, (3, 3)."""
    tile = taken.tiles
    count = np.bincount(tile, minlength=TILES**2)
    used = count >= max(4.0, 0.2 * count.max())
    sums = np.stack([np.bincount(tile, even[:, c], TILES**2) for c in range(3)], axis=-1)
    means = sums[used] / count[used, None]
    if len(means) < 2:
        return np.zeros((3, 3))
    return np.cov(np.log(means).T) / len(means)


def _tinted(camera: Camera, good: Which) -> list[Note]:
    """Signs of light of two colours, or of a filter: greys that differ in tint."""
    first = np.flatnonzero(good[: GREYS.start]).size
    # The dark ones are left out: a code more or less tints them.
    greys = np.log(camera.light[first:])[:-2]
    change = float(np.ptp(greys - greys[:, [1]], axis=0).max())
    signs = (("mixed", camera.tint, MIXED), ("tinted", change, TINTED))
    return [note(f"photo.warning.{name}", change=by) for name, by, most in signs if by > most]


def _with_doubts(found: Measured) -> Measured:
    """Add what the hair itself tells against the answer."""
    told = []
    if found.left_out.worst > DOUBTED:
        told.append(note("photo.warning.worst", error=found.left_out.worst))
    if not found.pigment.plausible or found.apart > APART:
        told.append(note("photo.warning.unlike_hair", apart=found.apart))
    if found.taken.spread > UNEVEN_HAIR:
        told.append(note("photo.warning.uneven_hair", spread=found.taken.spread))
    return replace(found, warnings=(*found.warnings, *told))
