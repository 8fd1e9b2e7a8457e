"""Screen colours of CIELAB, many at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from lift.optics.colorimetry import lab_to_srgb


def hex_colours(lab: ArrayLike) -> list[str]:
    """Write CIELAB, shape (n, 3), as ``#rrggbb`` each; out of gamut is clipped."""
    channels = np.rint(lab_to_srgb(lab)[0] * 255.0).astype(np.uint8)
    text = channels.tobytes().hex()
    return [f"#{text[i : i + 6]}" for i in range(0, len(text), 6)]
