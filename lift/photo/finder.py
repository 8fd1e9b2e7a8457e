"""Where the chart lies in a picture, by a detector that is kept elsewhere (extra ``chart``).

OpenCV's detector of the classic chart tells roughly where one may lie. What it tells is brought to
the patches' edges and believed only where the patches read as the chart's own, in one of the four
ways in which a chart can be turned.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lift.errors import Floats, LiftError
from lift.photo.chart import chart_places, check_corners, patch_codes
from lift.photo.editions import EDITIONS
from lift.photo.measure import Chart, open_chart
from lift.photo.picture import Picture, as_picture, needed
from lift.words import say

LONGEST = 1000
"""Longer side of the picture in which is looked [pixel]: patches need no more."""

THRESHOLDS = (7.0, 12.0)
"""How much darker than its surroundings an edge must be [codes]: the detector's own, and one that
finds charts on dark ground. Chosen on computed photographs."""

QUARTERS = (1, 0)
"""Quarters by which the picture is turned: it finds far more of the charts that stand upright."""

SAMPLES = 12
"""Places across and down a patch by which corners are moved."""

STEPS = (0.012, 0.006, 0.003, 0.0015)
"""How far a corner is moved at a time, in shares of the chart's longer side."""

SURE = 4.0
"""Error [dE00] of patches left out, in the median, from which it is not sure that it is the chart:
assumed; another reading of the order is off by ten times as much."""

UNIT = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])


def find_chart(image: Any, *, edition: str = EDITIONS[0]) -> Chart:
    """Find the classic chart of 24 patches in a photograph.

    Parameters
    ----------
    image, edition
        See `lift.photo.measure.measure`.

    Returns
    -------
    Chart
        Read where it lies: `corners` are as `lift.measure` takes them [pixel], shape (4, 2).

    Raises
    ------
    LiftError
        When no chart is found for sure, or the extra is not installed.
    """
    library = needed("cv2", "chart", say("photo.finder"))
    # Other builds of it, and older ones, come without this detector.
    detector = getattr(getattr(library, "mcc", None), "CCheckerDetector", None)
    if not hasattr(detector, "setDetectionParams"):
        raise LiftError("photo.needs", name=say("photo.finder"), extra="chart")
    picture = as_picture(image)
    return settle(picture, _detected(picture, library), edition)


def settle(picture: Picture, candidates: Iterable[Floats], edition: str = EDITIONS[0]) -> Chart:
    """Chart of the first candidate whose patches read as the chart's.

    Parameters
    ----------
    picture : Picture
        The photograph.
    candidates : iterable of numpy.ndarray
        Corners near a chart's [pixel], in the order of the corners or turned, shape (4, 2) each.
    edition : str
        Of the chart.

    Raises
    ------
    LiftError
        When there is none.
    """
    height, width = picture.pixels.shape[:2]
    for near in candidates:
        for turn in range(4):
            try:
                # What is told may lie a little outside.
                turned = np.clip(np.roll(near, turn, axis=0), 0.0, (width, height))
                moved = _to_edges(picture, check_corners(turned, picture))
                check_corners(moved, picture)
                opened = open_chart(picture, moved, edition=edition)
            except LiftError:
                continue
            if opened.left_out.median < SURE:
                return opened
    raise LiftError("photo.not_found")


def _detected(picture: Picture, library: Any) -> Iterator[Floats]:
    """Corners [pixel] that the detector tells, those it is most sure of first, shape (4, 2)."""
    shrunk, scale = _shrunk(picture, library)
    width = picture.pixels.shape[1]
    for threshold in THRESHOLDS:
        for quarters in QUARTERS:
            detector = library.mcc.CCheckerDetector_create()
            detector.setColorChartType(library.mcc.MCC24)
            parameters = library.mcc.DetectorParametersMCC()
            parameters.adaptiveThreshConstant = threshold
            detector.setDetectionParams(parameters)
            try:
                found = detector.process(np.ascontiguousarray(np.rot90(shrunk, quarters)), 1)
            except library.error:  # it fails on some of what it takes for a chart
                continue
            if not found:
                continue
            charts = np.reshape(detector.getBestColorChecker().getColorCharts(), (-1, 4, 2))
            # A quarter counterclockwise takes x to y, and y to the width less x.
            x, y = np.moveaxis(np.mean(charts, axis=1), -1, 0) / scale
            seen = np.stack([width - y, x] if quarters else [x, y], axis=-1)
            starts, size = chart_places()
            matrix, _ = library.findHomography(starts + size / 2.0, seen)
            if matrix is not None:
                corners = np.column_stack([UNIT, np.ones(4)]) @ matrix.T
                yield corners[:, :2] / corners[:, 2:]


def _shrunk(picture: Picture, library: Any) -> tuple[NDArray[np.uint8], float]:
    """Codes of 8 bits in B, G, R, at most `LONGEST` wide and high, and the scale."""
    codes = picture.pixels
    scale = min(1.0, LONGEST / max(codes.shape[:2]))
    if scale < 1.0:
        codes = library.resize(codes, None, fx=scale, fy=scale, interpolation=library.INTER_AREA)
    return picture.on_screen(codes)[..., ::-1], scale


def _to_edges(picture: Picture, corners: Floats) -> Floats:
    """Corners moved so that each patch is as even as it can be up to its edges."""
    side = float(np.max(np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)))
    best = _unevenness(picture, corners)
    for step in STEPS:
        for _ in range(2):
            for corner in range(4):
                for move in (*np.eye(2), *-np.eye(2)):
                    moved = corners.copy()
                    moved[corner] += step * side * move
                    found = _unevenness(picture, moved)
                    if found < best:
                        corners, best = moved, found
    return corners


def _unevenness(picture: Picture, corners: Floats) -> float:
    """Spread of codes over the whole of each patch, its mean over patches."""
    return float(patch_codes(picture, corners, 1.0, SAMPLES).std(axis=1).mean())
