"""What the page's controls may be moved within: by class of mixture, and of the work of laying."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lift.model.mixtures import MixtureClasses
from lift.optics.dyes import palette
from lift.practice.scenario.scenario import RINSES, Placement, Salon
from lift.quantities import quantities_of
from lift.words import say

BOUNDS = ("minutes", "volume", "ph", "temperature_c")

MOVED: Mapping[type, Mapping[str, tuple[float, float]]] = {
    Placement: {
        "sections": (40, 1),
        "section_thickness_mm": (10, 0.5),
        "grams_per_section": (40, 1),
        "bowls": (6, 1),
        "seconds_per_section": (180, 5),
        "rinse_seconds_per_section": (60, 5),
    },
    Salon: {"assistants": (3, 1), "room_c": (35, 1), "limit_minutes": (60, 1)},
}
"""Where a slider of each ends, and by how much it is moved at a time; more can be typed."""


def controls(classes: MixtureClasses) -> dict[str, Any]:
    """Developers that can be bought [vol], names of dyes, and of each class name, parts and bounds.

    With them the numbers of laying and of the salon, each with its label, unit and range.

    Examples
    --------
    >>> from lift.model.mixtures import mixture_classes
    >>> controls(mixture_classes())["kinds"]["base-break"]["minutes"]
    [0.0, 15.0]
    """
    return {
        "developers": [*classes.developers],
        "dyes": {dye: say("page.preview.dye_band", dye=dye) for dye in palette()},
        "kinds": {
            name: {
                "words": say("page.preview.kind", kind=name),
                "tone": bool(each.tone),
                **{bound: [each.bound(bound).low, each.bound(bound).high] for bound in BOUNDS},
            }
            for name, each in classes.items()
        },
        "rinses": [*RINSES],
        "placement": [_moved(Placement, name) for name in MOVED[Placement]],
        "salon": [_moved(Salon, name) for name in MOVED[Salon]],
    }


def _moved(owner: type, name: str) -> dict[str, Any]:
    q, (high, step) = quantities_of(owner)[name], MOVED[owner][name]
    label = say(f"quantity.{name}.form")
    return {
        "name": name, "label": label, "unit": q.unit, "low": q.low, "high": high, "step": step,
        "value": q.default,
    }  # fmt: skip
