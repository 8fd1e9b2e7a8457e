"""Blend: the colour of each part as the eye sees woven hair, and where an edge shows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.optics.colorimetry import delta_e_2000
from lift.practice.preview import rounded
from lift.practice.service.scenario import Scenario
from lift.practice.service.service import as_tuple, colour_now
from lift.practice.service.zone import Lab
from lift.practice.service.zone_work import mean_lab


@dataclass(frozen=True)
class Edge:
    """Difference between two parts that lie side by side.

    Parameters
    ----------
    parts : tuple of str
        The two parts.
    before, after : float
        CIEDE2000 before the service and after it, expected strands.
    p_seen : float
        Probability that it exceeds the blend limit after the service.
    breaks : str or None
        Zone that breaks the blend: the one whose arrival at its target would close most of the
        difference; None when the expected difference is within the limit.
    """

    parts: tuple[str, str]
    before: float
    after: float
    p_seen: float
    breaks: str | None


@dataclass(frozen=True)
class Blend:
    """Colours as seen, and where an edge shows.

    Parameters
    ----------
    zones : mapping of str to tuple
        CIELAB of every zone after the service.
    parts : mapping of str to tuple
        CIELAB of every part as the eye sees it, woven zones averaged.
    parts_before : mapping of str to tuple
        The same before the service.
    edges : tuple of Edge
        Neighbouring parts.
    to_match : mapping of str to float
        CIEDE2000 from each zone with a colour as its goal to that colour.
    limit : float
        CIEDE2000 from which an edge is seen.
    breaks : str or None
        Zone that breaks the blend at the worst edge; None when every edge is within the limit.
    """

    zones: Mapping[str, Lab]
    parts: Mapping[str, Lab]
    parts_before: Mapping[str, Lab]
    edges: tuple[Edge, ...]
    to_match: Mapping[str, float]
    limit: float
    breaks: str | None

    @property
    def words(self) -> str:
        """The finding in a sentence."""
        if not self.edges:
            return "No neighbouring parts are named, so no edge is judged."
        worst = max(self.edges, key=lambda e: e.after)
        first, second = worst.parts
        if self.breaks is None:
            return (
                f"The parts blend: the largest difference, {first} to {second}, is "
                f"{worst.after:.1f} dE00 (an edge shows from {self.limit:g})."
            )
        return (
            f"{self.breaks} breaks the blend: {first} to {second} differ by "
            f"{worst.after:.1f} dE00 (an edge shows from {self.limit:g})."
        )

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON form."""
        return {
            "zones": {name: rounded(lab) for name, lab in self.zones.items()},
            "parts": {name: rounded(lab) for name, lab in self.parts.items()},
            "parts_before": {name: rounded(lab) for name, lab in self.parts_before.items()},
            "edges": [
                {
                    "parts": list(e.parts),
                    "before": rounded(e.before),
                    "after": rounded(e.after),
                    "p_seen": rounded(e.p_seen),
                    "breaks": e.breaks,
                }
                for e in self.edges
            ],
            "to_match": {name: rounded(v) for name, v in self.to_match.items()},
            "limit": self.limit,
            "breaks": self.breaks,
            "words": self.words,
        }


def blend(
    scenario: Scenario,
    after: Mapping[str, Floats],
    targets: Mapping[str, Lab],
    curves: CurveSet,
) -> Blend:
    """Judge how the zones blend.

    Parameters
    ----------
    scenario : Scenario
        Zones, shares and neighbours.
    after : mapping of str to numpy.ndarray
        CIELAB of each treated zone after the service, the expected one first, then the members,
        shape (1 + members, 3).
    targets : mapping of str to tuple
        CIELAB of zones whose goal is a colour.
    curves : CurveSet
        Curve set.

    Returns
    -------
    Blend

    Notes
    -----
    What a part's zones leave of its hair stays as its first zone was before the service.
    """
    before = {z.name: np.array(colour_now(z, curves)) for z in scenario.zones}
    colours = {name: np.asarray(after.get(name, lab)) for name, lab in before.items()}
    seen = {part: part_lab(scenario, part, colours, before) for part in scenario.parts}
    seen_before = {part: part_lab(scenario, part, before, before) for part in scenario.parts}
    limit = scenario.values["blend_limit"]
    edges = []
    for parts in neighbours(scenario):
        difference = np.atleast_1d(delta_e_2000(seen[parts[0]], seen[parts[1]]))
        expected = float(difference[0])
        members = difference[1:] if difference.size > 1 else difference
        edges.append(
            Edge(
                parts=parts,
                before=float(delta_e_2000(seen_before[parts[0]], seen_before[parts[1]])),
                after=expected,
                p_seen=float(np.mean(members > limit)),
                breaks=_culprit(scenario, parts, colours, before, targets)
                if expected > limit
                else None,
            )
        )
    worst = max(edges, key=lambda e: e.after, default=None)
    return Blend(
        zones={name: _expected(lab) for name, lab in colours.items()},
        parts={part: _expected(lab) for part, lab in seen.items()},
        parts_before={part: _expected(lab) for part, lab in seen_before.items()},
        edges=tuple(edges),
        to_match={
            name: float(delta_e_2000(np.atleast_2d(colours[name])[0], np.array(lab)))
            for name, lab in targets.items()
        },
        limit=limit,
        breaks=None if worst is None else worst.breaks,
    )


def part_lab(
    scenario: Scenario, part: str, colours: Mapping[str, Floats], before: Mapping[str, Floats]
) -> Floats:
    """CIELAB of a part as the eye sees it: its zones mixed by their shares of the hair.

    Parameters
    ----------
    scenario : Scenario
        Zones and shares.
    part : str
        Name of the part.
    colours : mapping of str to numpy.ndarray
        CIELAB of each zone, shape (3,) or (members, 3).
    before : mapping of str to numpy.ndarray
        CIELAB of each zone before the service, shape (3,): what is left out of the weave.

    Returns
    -------
    numpy.ndarray
        Broadcast shape.
    """
    zones = [z for z in scenario.zones if z.part == part]
    shares = [z.share for z in zones]
    labs = [colours[z.name] for z in zones]
    rest = 1.0 - sum(shares)
    if rest > 1e-9:
        shares.append(rest)
        labs.append(before[zones[0].name])
    return mean_lab(np.stack(np.broadcast_arrays(*labs)), axis=0, weights=np.array(shares))


def neighbours(scenario: Scenario) -> tuple[tuple[str, str], ...]:
    """Pairs of parts that lie side by side, each once."""
    pairs: dict[frozenset[str], tuple[str, str]] = {}
    for zone in scenario.zones:
        for other in zone.beside:
            pairs.setdefault(frozenset((zone.part, other)), (zone.part, other))
    return tuple(pairs.values())


def _culprit(
    scenario: Scenario,
    parts: tuple[str, str],
    colours: Mapping[str, Floats],
    before: Mapping[str, Floats],
    targets: Mapping[str, Lab],
) -> str | None:
    """Zone of the two parts whose change closes most of the difference.

    A zone with a colour as its goal is moved onto it, any other onto the part on the other side.
    """
    expected = {name: np.atleast_2d(lab)[0] for name, lab in colours.items()}
    sides = [part_lab(scenario, part, expected, before) for part in parts]
    left: dict[str, float] = {}
    for zone in scenario.zones:
        if zone.part not in parts or not zone.treated:
            continue
        side = parts.index(zone.part)
        moved = {**expected, zone.name: np.array(targets.get(zone.name, sides[1 - side]))}
        now = part_lab(scenario, zone.part, moved, before)
        left[zone.name] = float(delta_e_2000(now, sides[1 - side]))
    if not left:
        return None
    return min(left, key=lambda name: left[name])


def _expected(lab: Floats) -> Lab:
    return as_tuple(np.atleast_2d(lab)[0])
