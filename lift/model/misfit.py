"""Misfit: how far measured swatches lie from what the physics can give them.

A term of its own, beside the scatter of readings (Kennedy & O'Hagan 2001, J. R. Statist. Soc. B
63:425; from memory). Each strand has its own, in L*, a* and b*: a normal variable at each of
`NODES` along the way that lightening goes, and between two of them a mixture that varies as much.
So readings of one strand that lie close together are off alike. Natural hair of a draw is off by
the first of them, too: what is counted from natural hair is counted from that.

A tuned curve set keeps one misfit with each draw of its posterior. What is computed from a draw's
pigment is off by it, wherever a colour is computed.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.errors import Floats

CHANNELS = ("lightness", "a", "b")
NODES = ("start", "middle", "end")
NAMES = tuple(f"misfit_{channel}_{node}" for channel in CHANNELS for node in NODES)
"""Columns of a posterior's draws [CIELAB units]: no parameters of the curve set, which has none."""

RANGE = (-100.0, 100.0)

FAR = 0.8
"""Exposure that takes a strand two thirds of the way [-]: about two levels; assumed."""


def weights(exposure: ArrayLike) -> Floats:
    """Weight of each node at an exposure [-], shape (..., 3); their squares sum to 1."""
    along = (len(NODES) - 1) * -np.expm1(-np.asarray(exposure, dtype=np.float64) / FAR)
    apart = np.abs(along[..., None] - np.arange(len(NODES)))
    return np.asarray(np.cos(0.5 * np.pi * np.minimum(apart, 1.0)))


def off_by(values: Mapping[str, Any], exposure: Any) -> tuple[Any, Any, Any] | None:
    """What strands of these values are off by in L*, a* and b* at an exposure [-].

    Values and exposure broadcast; None where the values have no misfit.
    """
    if NAMES[0] not in values:
        return None
    at = weights(exposure)
    lightness, a, b = (
        sum(values[f"misfit_{channel}_{node}"] * at[..., place] for place, node in enumerate(NODES))
        for channel in CHANNELS
    )
    return lightness, a, b


def draw(scales: Floats, random: np.random.Generator, count: int) -> Floats:
    """Misfits of so many strands at each channel's nodes, shape (count, 3, nodes).

    `scales` are their standard deviations [CIELAB units], shape (1, 3) or (count, 3).
    """
    return scales[..., None] * random.standard_normal((count, len(CHANNELS), len(NODES)))
