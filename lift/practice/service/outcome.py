"""Outcome: what zones look like after rinsing and toning, and how the parts of a head blend."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from lift.chemistry.tone_kinds import TONE_KINDS
from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.natural import path_of
from lift.model.strand import Fibres, Pigment, strand_fibres, strand_lab
from lift.model.trajectory import Trajectory
from lift.optics.colorimetry import delta_e_2000, lab_tuple, mean_lab
from lift.optics.dyes import add_doses, palette
from lift.practice.dose_search import QUICK_ROUNDS, best_doses, residual_to
from lift.practice.fibres import GreyLook, grey_look
from lift.practice.scenario.scenario import Scenario, Toner
from lift.practice.schedule.solve import colour_now
from lift.practice.schedule.work import MIDDLE, ZoneWork
from lift.practice.toning.fade import left_after
from lift.quantities import Lab
from lift.results import Result
from lift.words import Note, note

MIXTURE_TONE = "permanent"
"""How tone that formed in the mixture washes out: it is made by oxidation, as permanent colour."""

ALL = slice(None)


@dataclass(frozen=True, eq=False, repr=False)
class Outcome(Result):
    """A treated zone after its rinse.

    `strands` are its expected strands, shape (sections, 5), and `members` the middle strands of
    the members, shape (1 + members, sections), as `ZoneWork` has them. `toner` is the dose of each
    dye laid on after rinsing [0.01 absorption per fibre radius]; it may be empty.
    """

    work: ZoneWork
    strands: Trajectory
    members: Trajectory
    toner: Mapping[str, float]

    @property
    def carries_tone(self) -> bool:
        """Whether any tone is in the hair that can wash out."""
        return any(dose > 0.0 for dose in self.toner.values()) or any(
            np.any(dose > 0.0) for dose in self.strands.tone.values()
        )

    def lab_after(self, weeks: ArrayLike = 0.0, washes_per_week: float = 0.0) -> Floats:
        """CIELAB as seen, toner included, some weeks after the service, shape (weeks, 3)."""
        return self.fibres_after(weeks, washes_per_week).blend

    def fibres_after(self, weeks: ArrayLike = 0.0, washes_per_week: float = 0.0) -> Fibres:
        """CIELAB of both kinds of fibres, as `lab_after`, shape (weeks, 3) each."""
        washes = np.asarray(weeks, dtype=np.float64) * washes_per_week
        pigment, tone = _some(self.strands, (ALL, MIDDLE))
        shape = (..., *(None,) * washes.ndim)
        laid = self.work.zone.laid_on
        kind = "direct" if laid is None else laid.kind
        of_mixture = left_after(washes, TONE_KINDS[MIXTURE_TONE].rate)
        of_toner = left_after(washes, TONE_KINDS[kind].rate)
        found = strand_fibres(
            pigment.map(lambda p: p[shape]),
            self.work.curves.values,
            tone=add_doses(
                {dye: dose[shape] * of_mixture for dye, dose in tone.items()},
                {dye: dose * of_toner for dye, dose in self.toner.items()},
            ),
            **self._grey,
        )
        return mean_fibres(found, found.blend.shape)

    @property
    def middle(self) -> tuple[Pigment, dict[str, Floats]]:
        """Pigment of the zone's middle strands, over its sections, and the dose of each dye."""
        pigment, tone = _some(self.strands, (ALL, MIDDLE))
        mean = {dye: np.asarray(np.mean(dose)) for dye, dose in tone.items()}
        return pigment.map(lambda p: np.mean(p)), mean

    @property
    def grey_at_rinse(self) -> GreyLook | None:
        """Both kinds of fibres at the rinse; None where no hair is grey."""
        now = self.strands
        seen = (c if c is None else c[:, MIDDLE] for c in (now.pigmented, now.white, now.lab))
        at_rinse = Fibres(*seen)  # type: ignore[arg-type]
        found = mean_fibres(at_rinse, at_rinse.blend.shape)
        return self._told(found)

    @property
    def grey_after(self) -> GreyLook | None:
        """Both kinds of fibres after toning; None where no hair is grey."""
        return self._told(self.fibres_after())

    def _told(self, fibres: Fibres) -> GreyLook | None:
        curves = self.work.curves
        path = path_of(self.work.zone.hair, curves)
        return grey_look(fibres, **self._grey, curves=curves, path=path)

    @property
    def _grey(self) -> dict[str, Any]:
        hair = self.work.zone.hair
        return {name: getattr(hair, name) for name in ("grey_percent", "resistant_percent")}

    def seen_with_grey(self, lab: Lab) -> Lab:
        """A colour that the pigmented fibres are to have, as the eye blends it after toning."""
        white, share = self.fibres_after().white, self._grey["grey_percent"] / 100.0
        if white is None:
            return lab
        return lab_tuple(mean_lab(np.stack([lab, white]), weights=np.array([1.0 - share, share])))

    def members_after(self) -> Floats:
        """CIELAB as seen after toning, expected first, shape (1 + members, 3)."""
        pigment, tone = _some(self.members, (ALL, ALL))
        lab = strand_lab(
            pigment,
            self.work.curves.values,
            tone=add_doses(tone, self.toner),
            **self._grey,
        )
        return mean_lab(lab, axis=1)


def outcome(work: ZoneWork, rinse_after: float, target: Lab | None) -> Outcome:
    """Rinse and tone a zone, some time after its start [min].

    `target` is the CIELAB its pigmented fibres are to have; None: natural hair of the lightness
    toning ends with. A toner without doses gets the single dye that comes nearest.
    """
    strands = work.strands(rinse_after)
    toner = _doses(work.zone.laid_on, strands, target, work)
    return Outcome(work, strands, work.members(rinse_after), toner)


def _doses(
    toner: Toner | None, strands: Trajectory, target: Lab | None, work: ZoneWork
) -> Mapping[str, float]:
    if toner is None:
        return {}
    if toner.doses is not None:
        return toner.doses
    pigment, tone = _some(strands, (ALL, MIDDLE))
    found = best_doses(
        pigment.map(lambda p: np.asarray(p.mean())),
        tuple(palette()),
        1,
        residual_to(target, work.curves, path_of(work.zone.hair, work.curves)),
        work.curves.values,
        rounds=QUICK_ROUNDS,
        in_hair={dye: float(dose.mean()) for dye, dose in tone.items()},
    )
    return found.named()


def mean_fibres(fibres: Fibres, shape: tuple[int, ...]) -> Fibres:
    """Mean over the first two axes, sections and strands, of CIELAB of that shape."""

    def mean(lab: Floats) -> Floats:
        return mean_lab(mean_lab(np.broadcast_to(lab, shape)))

    white = None if fibres.white is None else mean(fibres.white)
    return Fibres(mean(fibres.pigmented), white, mean(fibres.blend))


def _some(strands: Trajectory, index: tuple[slice, slice]) -> tuple[Pigment, dict[str, Floats]]:
    """Pigment and tone of some of the strands."""

    def take(values: Floats) -> Floats:
        return np.broadcast_to(values, strands.lift.shape)[index]

    return strands.pigment.map(take), {dye: take(dose) for dye, dose in strands.tone.items()}


# How the parts blend, as the eye sees woven hair.


@dataclass(frozen=True)
class Edge:
    """CIEDE2000 between two parts that lie side by side, before the service and after it.

    `p_seen` is the probability that it exceeds the blend limit. `breaks` names the zone whose
    arrival at its target would close most of it; None when what is expected is within the limit.
    """

    parts: tuple[str, str]
    before: float
    after: float
    p_seen: float
    breaks: str | None


@dataclass(frozen=True)
class Blend:
    """Colours as seen, and where an edge shows.

    CIELAB of every zone after the service, and of every part after and before it as the eye sees
    it, woven zones averaged; the CIEDE2000 `to_match` from each zone with a colour as its goal to
    that colour, of grey hair from its pigmented fibres; and the `limit` from which an edge is seen.
    """

    zones: Mapping[str, Lab]
    parts: Mapping[str, Lab]
    parts_before: Mapping[str, Lab]
    edges: tuple[Edge, ...]
    to_match: Mapping[str, float]
    limit: float

    @property
    def worst(self) -> Edge | None:
        """The edge with the largest difference."""
        return max(self.edges, key=lambda e: e.after, default=None)

    @property
    def breaks(self) -> str | None:
        """Zone that breaks the blend at the worst edge; None: every edge is within the limit."""
        return None if self.worst is None else self.worst.breaks

    @property
    def finding(self) -> Note:
        """The finding, to be said in a sentence."""
        if self.worst is None:
            return note("plan.blend.no_edges")
        (first, second), difference = self.worst.parts, self.worst.after
        numbers = {"first": first, "second": second, "difference": difference, "limit": self.limit}
        if self.breaks is None:
            return note("plan.blend.blends", **numbers)
        return note("plan.blend.breaks", zone=self.breaks, **numbers)


def blend(
    scenario: Scenario,
    after: Mapping[str, Floats],
    targets: Mapping[str, Lab],
    curves: CurveSet,
    to_match: Mapping[str, float] | None = None,
) -> Blend:
    """Judge how the zones blend.

    `after` is the CIELAB of each treated zone after the service as it is seen, the expected one
    first, then the members, shape (1 + members, 3); `targets` that of zones whose goal is a
    colour, white fibres blended in; `to_match` how far [dE00] the zones are from them, by default
    between what is seen. What a part's zones leave of its hair stays as its first zone was before
    the service.
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
        shows = expected > limit
        edges.append(
            Edge(
                parts=parts,
                before=float(delta_e_2000(seen_before[parts[0]], seen_before[parts[1]])),
                after=expected,
                p_seen=float(np.mean(members > limit)),
                breaks=_culprit(scenario, parts, colours, before, targets) if shows else None,
            )
        )
    return Blend(
        zones={name: _expected(lab) for name, lab in colours.items()},
        parts={part: _expected(lab) for part, lab in seen.items()},
        parts_before={part: _expected(lab) for part, lab in seen_before.items()},
        edges=tuple(edges),
        to_match=to_match
        if to_match is not None
        else {
            name: float(delta_e_2000(np.atleast_2d(colours[name])[0], np.array(lab)))
            for name, lab in targets.items()
        },
        limit=limit,
    )


def part_lab(
    scenario: Scenario, part: str, colours: Mapping[str, Floats], before: Mapping[str, Floats]
) -> Floats:
    """CIELAB of a part as the eye sees it: its zones mixed by their shares of the hair.

    `colours` of the zones have shape (3,) or (members, 3); `before`, of shape (3,), is what is
    left out of the weave.
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
    return min(left, key=lambda name: left[name], default=None)


def _expected(lab: Floats) -> Lab:
    return lab_tuple(np.atleast_2d(lab)[0])
