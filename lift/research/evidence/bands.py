"""Dye bands: what is published near each, and how the answer moves when one lies elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from lift.errors import Floats, check_number
from lift.model.curves import CurveSet, default_curves
from lift.model.natural import natural_path
from lift.model.stages import underpigment_ladder
from lift.model.strand import Pigment
from lift.optics.dyes import DyeBand, palette
from lift.practice.dose_search import best_doses, each_alone, one_or_two, residual_to
from lift.practice.wheel_and_dye import WheelAndDye, compare
from lift.reference import load
from lift.results import Result
from lift.words import Note, note

OFF_NM = 15.0
"""How far a band may lie elsewhere in a fibre than in solution [nm]: assumed."""

WIDER_NM = 10.0
"""How far the width of all bands may be off [nm, standard deviation]: 35 to 55 nm are 80 to 130 nm
at half height, as such dyes have in solution (from memory)."""

MOST_NM = 40.0
"""Moved further, the green's second band leaves what is seen [nm]."""

LEVELS = (4.0, 6.0, 8.0, 10.0)
"""Levels to which black hair is lightened: red, orange, yellow, palest yellow [-]."""


@dataclass(frozen=True, repr=False)
class NearBand(Result):
    """One centre of a dye band, and the published maximum nearest to it.

    Parameters
    ----------
    band : DyeBand
        The band, with its standing.
    centre_nm : float
        One of its centres [nm].
    dye : str
        Dye of hair whose maximum lies nearest, of those read.
    nearest_nm : float
        Its maximum [nm].
    remembered : str
        Dye whose maximum lies nearer still but is known from memory alone; empty: none does.
    remembered_nm : float
        Its maximum [nm]; that of what was read where none does.
    """

    band: DyeBand
    centre_nm: float
    dye: str
    nearest_nm: float
    remembered: str
    remembered_nm: float

    @property
    def words(self) -> Note:
        """The band beside what is published."""
        return note(
            "bands.near_memory" if self.remembered else "bands.near",
            band=self.band.name,
            centre=self.centre_nm,
            status=note(f"status.{self.band.status}"),
            dye=self.dye,
            nearest=self.nearest_nm,
            remembered=self.remembered,
            remembered_nm=self.remembered_nm,
        )


def near_bands() -> tuple[NearBand, ...]:
    """Hold each centre of the palette against the published maxima of hair dyes.

    Sources: Corbett 1973 and 1984 (read), and some dyes from memory, told apart.

    Examples
    --------
    >>> violet = near_bands()[0]
    >>> violet.dye, violet.nearest_nm
    ('indoaniline', 554.0)
    """
    indo, others = load("indo_dyes_corbett1973"), load("hair_dye_maxima")
    read = dict(zip(indo.words("dye"), indo.numbers("centre_nm").tolist(), strict=True))
    memory: dict[str, float] = {}
    columns = (others.words("dye"), others.words("known"), others.numbers("centre_nm").tolist())
    for dye, known, centre in zip(*columns, strict=True):
        (read if known == "read" else memory)[dye] = centre
    return tuple(
        NearBand(band, centre, *_nearest(read, centre), *_nearer(read, memory, centre))
        for band in palette().values()
        for centre in band.centres_nm
    )


def _nearest(maxima: Mapping[str, float], centre: float) -> tuple[str, float]:
    return min(maxima.items(), key=lambda item: abs(item[1] - centre))


def _nearer(
    read: Mapping[str, float], memory: Mapping[str, float], centre: float
) -> tuple[str, float]:
    """What is nearest of all, where that is not among what was read."""
    found = _nearest({**memory, **read}, centre)
    return found if found[0] in memory else ("", found[1])


@dataclass(frozen=True, repr=False)
class MovedBands(Result):
    """What does it once bands lie elsewhere.

    Parameters
    ----------
    band : str
        Which band is moved; empty for all of them together.
    by_nm : float
        How far it is moved towards the red [nm].
    wider_nm : float
        How much wider it is [nm, standard deviation].
    answer : WheelAndDye
        What the wheel says and what does it; arrays of shape (levels,).
    """

    band: str
    by_nm: float
    wider_nm: float
    answer: WheelAndDye

    @property
    def words(self) -> Note:
        """Which band is moved or wider, and how far."""
        if self.wider_nm:
            way = note("bands.wider" if self.wider_nm > 0.0 else "bands.narrower",
                       nm=abs(self.wider_nm))  # fmt: skip
            return note("bands.all", way=way)
        if not self.by_nm:
            return note("bands.as_shipped")
        way = note("bands.longer" if self.by_nm > 0.0 else "bands.shorter", nm=abs(self.by_nm))
        return (
            note("bands.one", band=self.band, way=way) if self.band else note("bands.all", way=way)
        )


@dataclass(frozen=True, repr=False)
class BandSensitivity(Result):
    """How the answer to lightened hair hangs on where the dye bands lie.

    Parameters
    ----------
    levels : numpy.ndarray
        Levels to which black hair was lightened [-], shape (levels,).
    cases : tuple of MovedBands
        As shipped first, then all bands moved together, each by itself, and all of another width.
    """

    levels: Floats
    cases: tuple[MovedBands, ...]

    @property
    def verdicts(self) -> tuple[tuple[str, ...], ...]:
        """Verdict on the wheel by case and level, of ``lift.practice.wheel_and_dye.VERDICTS``."""
        places = range(self.levels.size)
        return tuple(tuple(case.answer[i].verdict for i in places) for case in self.cases)

    @property
    def words(self) -> Note:
        """What it comes to: whether rules of the wheel and answers are those as shipped."""
        moved, places = self.cases[1:], range(self.levels.size)
        first, *others = self.verdicts
        answers = [tuple(case.answer[i].told[:1] for i in places) for case in self.cases]
        same = sum(a == b for each in answers[1:] for a, b in zip(each, answers[0], strict=True))
        kept = sum(a == b for each in others for a, b in zip(each, first, strict=True))
        worst = max(float(np.max(case.answer.best.residual)) for case in moved)
        count = len(moved) * self.levels.size
        return note("bands.summary", count=count, same=same, kept=kept, worst=worst)


def band_rows(found: BandSensitivity) -> tuple[tuple[Note, ...], tuple[tuple[Note, ...], ...]]:
    """Heads and rows of a table: a case, then for each level what does it."""
    shipped = found.cases[0].answer.direction.wheel
    levels = zip(found.levels.tolist(), shipped, strict=True)
    heads = (note("bands.level", level=level, wheel=str(wheel)) for level, wheel in levels)
    places = range(found.levels.size)
    rows = ((case.words, *(_cell(case.answer[i]) for i in places)) for case in found.cases)
    return (note("bands.case"), *heads), tuple(rows)


def _cell(found: WheelAndDye) -> Note:
    return note("bands.cell", does=found.dyes_note, left=float(found.alone.residual[found.place]))


def band_sensitivity(curves: CurveSet | None = None, off_nm: float = OFF_NM) -> BandSensitivity:
    """Move dye bands and answer lightened hair again.

    Parameters
    ----------
    curves : CurveSet, optional
        Default: the shipped set.
    off_nm : float
        How far a band is moved either way [nm], 1 to 40.

    Examples
    --------
    >>> import lift
    >>> found = lift.lab.band_sensitivity()
    >>> found.verdicts[0]
    ('differ', 'differ', 'differ', 'differ')
    """
    curves, off = curves or default_curves(), check_number("bands.off", off_nm, 1.0, MOST_NM, "nm")
    ladder, levels = underpigment_ladder(curves), np.array(LEVELS)
    rows = np.searchsorted(ladder.levels, levels)
    hair = ladder.pigment.map(lambda p: np.broadcast_to(p, ladder.levels.shape)[rows])
    shipped = dict(palette())
    cases = [MovedBands("", 0.0, 0.0, _answer(hair, shipped, curves))]
    for name in ("", *shipped):
        for by in (-off, off):
            moved = {
                each: _moved(band, by) if name in ("", each) else band
                for each, band in shipped.items()
            }
            cases.append(MovedBands(name, by, 0.0, _answer(hair, moved, curves)))
    for wider in (-WIDER_NM, WIDER_NM):
        moved = {each: _wider(band, wider) for each, band in shipped.items()}
        cases.append(MovedBands("", 0.0, wider, _answer(hair, moved, curves)))
    return BandSensitivity(levels, tuple(cases))


def _answer(hair: Pigment, bands: Mapping[str, DyeBand], curves: CurveSet) -> WheelAndDye:
    """The wheel held against dyes whose bands lie elsewhere, under the names that they have."""
    path, dyes = natural_path(curves), tuple(bands.values())
    residual = residual_to(None, curves, path)
    alone = each_alone(hair, dyes, residual, curves.values)
    two = best_doses(hair, dyes, 2, residual, curves.values)
    found = compare(hair, alone, one_or_two(alone.best, two), curves, None, path)
    named = tuple(bands)
    return replace(
        found,
        dyes=named,
        alone=replace(found.alone, dyes=named),
        best=replace(found.best, dyes=named),
    )


def _moved(band: DyeBand, by: float) -> DyeBand:
    return replace(band, centres_nm=tuple(centre + by for centre in band.centres_nm))


def _wider(band: DyeBand, by: float) -> DyeBand:
    return replace(band, widths_nm=tuple(width + by for width in band.widths_nm))
