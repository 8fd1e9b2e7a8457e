"""A picture as it may be kept: chart and hair alone, and nothing of its file but the pixels."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import LiftError
from lift.photo.picture import as_picture

AROUND = 0.08
"""What is kept around chart and hair, as a share of their longer side; of pictures too."""

LONGEST = 1600
"""Longer side of what is kept [pixel]: patches and hair can still be measured."""

QUALITY = 88


def to_keep(image: Any, *shown: ArrayLike) -> bytes:
    """JPEG of what lies around chart and hair, drawn anew from the pixels.

    Parameters
    ----------
    image : path, bytes, Picture or array_like
        See `lift.photo.picture.as_picture`.
    *shown : array_like
        What is to be in it: corners of the chart, outline of the hair [pixel], shape (n, 2) each.

    Returns
    -------
    bytes
        8 bits, the longer side of at most `LONGEST`; no EXIF, no profile, no thumbnail.

    Raises
    ------
    LiftError
        When the picture cannot be opened, or a place lies outside of it.

    Examples
    --------
    >>> from lift.make.photograph import Scene, photograph, some_hair
    >>> taken = photograph(Scene(some_hair(1)[0]))  # a computed photograph
    >>> to_keep(taken.pixels, taken.chart, taken.hair[0])[:2].hex()
    'ffd8'
    """
    from PIL import Image

    picture = as_picture(image)
    height, width = picture.pixels.shape[:2]
    points = np.concatenate([np.asarray(each, dtype=np.float64) for each in shown])
    if not picture.holds(points):
        raise LiftError("photo.region_outside", width=width, height=height)
    pixels = picture.on_screen(picture.pixels[picture.around(points, AROUND)])
    made = Image.fromarray(np.ascontiguousarray(pixels))
    made.thumbnail((LONGEST, LONGEST))
    file = BytesIO()
    made.save(file, "JPEG", quality=QUALITY)
    return file.getvalue()
