"""What an eye sees of a drawn lock: its mean light as CIELAB, found by colour-science."""

import numpy as np

from lift.optics.adapter import colour_science
from lift.optics.colorimetry import delta_e_2000
from lift.show.lock.image import lock_cover
from lift.show.plots.lock import MARK_GROUND, MARK_PIXELS

LIKE = 1.0
"""How far the mean of a drawn lock may lie from its number [dE00]."""

WHITE = np.array([0.3127, 0.3290])
"""Chromaticity of D65 for the 2 degree observer, IEC 61966-2-1."""


def lab_of(rgb):
    colour = colour_science()
    return colour.XYZ_to_Lab(colour.sRGB_to_XYZ(np.asarray(rgb)), WHITE)


def seen(pixels):
    """CIELAB of the mean light of screen colours, shape (n, 3), as a screen of 8 bits has them."""
    models = colour_science().models
    light = models.eotf_sRGB(np.rint(np.asarray(pixels)[..., :3] * 255.0) / 255.0).mean(axis=0)
    return lab_of(models.eotf_inverse_sRGB(light))


def off(pixels, lab):
    return float(delta_e_2000(seen(pixels), lab))


def locks(axes):
    """CIELAB of each whole lock in a picture."""
    images = [np.asarray(image.get_array()) for image in axes.images]
    return np.array([seen(image[lock_cover(*image.shape[:2])]) for image in images])


def marks(axes):
    """Places and CIELAB of the small locks in a picture."""
    from matplotlib.offsetbox import AnnotationBbox

    found = [child for child in axes.get_children() if isinstance(child, AnnotationBbox)]
    images = [np.asarray(box.offsetbox.get_data()) for box in found]
    cover = lock_cover(*MARK_PIXELS)[:, MARK_GROUND:-MARK_GROUND]
    return np.array([box.xy for box in found]), np.array([seen(i[cover]) for i in images])


def alike(found, labs):
    """Whether drawn colours, shape (n, 3), are the numbers, each within dE00 1."""
    assert np.shape(found) == np.shape(labs)
    return bool((delta_e_2000(found, labs) < LIKE).all())
