"""What a service plan takes for granted, each number with its unit, status and source."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from lift.errors import check_choice, check_number
from lift.model.curves import Parameter
from lift.words import note

SERVICE: Mapping[str, Parameter] = MappingProxyType(
    {
        p.name: p
        for p in (
            Parameter(
                "bowl_fade_minutes", 160.0, "min", 20.0, 1000.0, "assumed",
                "a bowl is thicker than the film on hair (40 min, assumed) and thinner than the "
                "1961 bath (about 700 min): near their geometric mean",
            ),
            Parameter(
                "coat_depth_mm", 20.0, "mm", 5.0, 200.0, "assumed",
                "depth in a section at which strength falls to 1/e; brushed on from both sides",
            ),
            Parameter(
                "section_log_sd", 0.08, "-", 0.0, 0.5, "assumed",
                "how unevenly sections are laid by one hand, as spread of the rate",
            ),
            Parameter(
                "scalp_c", 35.0, "C", 30.0, 40.0, "assumed",
                "scalp temperature (from memory); the mixture lies halfway between it and the room",
            ),
            Parameter(
                "changeover_minutes", 1.0, "min", 0.0, 15.0, "assumed",
                "mixing a fresh bowl and moving on to the next zone",
            ),
            Parameter(
                "rinse_minutes", 3.0, "min", 0.0, 15.0, "common practice",
                "rinsing one zone at the basin: common practice (no source)",
            ),
            Parameter(
                "match_darker_levels", 0.5, "levels", 0.0, 3.0, "common practice",
                "how much darker than the blonde to be matched still passes for a match: a level "
                "judged by eye is good to about half a level (no source)",
            ),
            Parameter(
                "match_lighter_levels", 1.0, "levels", 0.1, 9.0, "assumed",
                "how much lighter than the blonde to be matched still passes for a match",
            ),
            Parameter(
                "blend_limit", 5.0, "dE00", 0.5, 30.0, "assumed",
                "difference between neighbouring hair from which an edge is seen; above the 1 that "
                "is noticed between plain patches, as hair is never plain",
            ),
            Parameter(
                "demarcation_limit", 5.0, "dE00", 0.5, 30.0, "assumed",
                "contrast of the regrowth at which the base is broken again; as blend_limit",
            ),
            Parameter(
                "growth_mm_per_day", 0.35, "mm/day", 0.1, 0.6, "published",
                "growth of scalp hair, Vogt et al.",
            ),
            Parameter(
                "washes_per_week", 3.0, "1/week", 0.25, 14.0, "assumed",
                "as lift.practice.toning.fade",
            ),
            Parameter(
                "viewing_distance_mm", 1000.0, "mm", 300.0, 3000.0, "assumed",
                "distance at which people talk",
            ),
            Parameter(
                "viewing_field_deg", 2.0, "degrees", 0.5, 10.0, "published",
                "field of the CIE 1931 observer, over which the eye is taken to average",
            ),
        )
    }
)  # fmt: skip


def service_values(changes: Mapping[str, float] | None = None) -> dict[str, float]:
    """Values by name, some of them replaced.

    Parameters
    ----------
    changes : mapping of str to float, optional
        New values, each inside its parameter's range.

    Returns
    -------
    dict
        Value of every parameter of `SERVICE`, in its unit.

    Raises
    ------
    LiftError
        For an unknown name or a value out of range.
    """
    values = {name: p.value for name, p in SERVICE.items()}
    for name, value in (changes or {}).items():
        p = SERVICE[check_choice("scenario.assumption", name, SERVICE)]
        values[name] = check_number(note("text", text=name), value, p.low, p.high, p.unit)
    return values
