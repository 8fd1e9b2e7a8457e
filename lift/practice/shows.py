"""What shows: from which difference hair looks different, in one place, with its standing.

Three questions have three answers. Two plain patches side by side are told apart from one unit.
Hair by itself, which nobody holds a patch to, looks warm from what no longer passes for natural:
at the rinse, after washes and under another lamp alike. An edge between neighbouring hair, which
is never plain, is seen from more.
"""

from __future__ import annotations

from collections.abc import Mapping

from lift.model.curves import CurveSet
from lift.model.parameter import Parameter
from lift.optics.colorimetry import NOTICEABLE
from lift.practice.assumptions import SERVICE

NOTICED, WARM, EDGE = "noticed", "warm", "edge"


def thresholds(curves: CurveSet) -> Mapping[str, Parameter]:
    """From what difference something shows: each threshold with unit, standing and source.

    Parameters
    ----------
    curves : CurveSet
        Has the allowance of warmth.

    Examples
    --------
    >>> from lift.model.curves import default_curves
    >>> {name: (p.value, p.unit) for name, p in thresholds(default_curves()).items()}
    {'noticed': (1.0, 'dE00'), 'warm': (3.0, 'dC*'), 'edge': (5.0, 'dE00')}
    """
    noticed = Parameter(
        NOTICED,
        NOTICEABLE,
        "dE00",
        NOTICEABLE,
        NOTICEABLE,
        "common practice",
        "two plain patches side by side: common practice of colorimetry (no source)",
    )
    return {NOTICED: noticed, WARM: curves["warmth_allowance"], EDGE: SERVICE["blend_limit"]}
