"""Lightening as a moving picture that needs no kernel."""

from __future__ import annotations

from io import BytesIO

import numpy as np

from lift.errors import check_number
from lift.model.curves import CurveSet, default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.window import limit_within
from lift.show.lesson.live import LivePicture, moment
from lift.show.lesson.notebook import Shown, picture
from lift.words import say

HOLD_MS = 2500


def animate_lightening(
    hair: Hair,
    mixture: Mixture,
    minutes: float = 40.0,
    curves: CurveSet | None = None,
    *,
    frames: int = 33,
    seconds: float = 8.0,
) -> Shown:
    """Run a strand through time: its lock, its path in the a*b* plane and its warmth.

    Parameters
    ----------
    hair, mixture : Hair, Mixture
        One strand and what lies on it.
    minutes : float
        Processing time of the last frame [min], 1 to 60; the end of the mixture's domain when that
        is earlier.
    curves : CurveSet, optional
        Default: the shipped set.
    frames : int
        How many pictures, 2 to 200.
    seconds : float
        How long one run takes [s], 1 to 60; it then stands still for 2.5 s and begins anew.

    Returns
    -------
    Shown
        An animated WebP picture with alt text.

    Examples
    --------
    >>> import lift
    >>> hair, mixture = lift.Hair(level=6), lift.Mixture("cream", 20)
    >>> lift.teach.animate_lightening(hair, mixture, 10, frames=2).text[:32]
    'A moving picture of a lock of ha'
    """
    from PIL import Image

    end = check_number("quantity.minutes.label", minutes, 1.0, 60.0, "min")
    end = limit_within(mixture, end, curves or default_curves())
    count = int(check_number("live.frames", frames, 2, 200))
    each = int(1000.0 * check_number("live.seconds", seconds, 1.0, 60.0, "s") / count)
    live = LivePicture(curves, limit_minutes=end)
    images = []
    for time in np.linspace(0.0, end, count):
        now = moment(hair, mixture, float(time), curves, limit_minutes=end)
        live.show(now)
        images.append(Image.fromarray(live.pixels()))
    data = BytesIO()
    images[0].save(
        data,
        "WEBP",
        save_all=True,
        append_images=images[1:],
        duration=[each] * (count - 1) + [HOLD_MS],
        loop=0,
        quality=70,
        method=4,
    )
    alt = say("live.animation", end=end, moment=now.words)
    return picture(data.getvalue(), "image/webp", alt)
