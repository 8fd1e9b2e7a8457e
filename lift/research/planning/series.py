"""A lightening series: which tresses to lighten, for how long, and what to read of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import Any

import numpy as np

from lift.errors import LiftError, check_number
from lift.files import NamedPath
from lift.model.curves import RED_SHARE, CurveSet, default_curves
from lift.model.domain import check_domain
from lift.model.hair import Hair
from lift.model.mixture import Mixture, read_mixture
from lift.practice.cautions import cautions
from lift.quantities import MINUTES as MINUTES_Q
from lift.research.planning.day import DAY_MIN, Run, lay_out_days
from lift.research.planning.narrowing import BROWN_LEVEL, RED_LEVEL, Narrowed, narrowing
from lift.research.posterior.problem import FREE
from lift.research.swatches.columns import (
    COLOURS,
    CONDITIONS,
    PHOTO,
    REPEATS,
    SD,
    START,
)
from lift.research.swatches.table import Swatches
from lift.research.swatches.written import write_new
from lift.results import Result
from lift.words import Note, note

TRESSES = 3
"""Tresses of dark brown hair, and as many of red."""

MINUTES = (0.0, 5.0, 10.0, 20.0, 30.0, 45.0)
MIXTURE = MappingProxyType({"mixture": "powder", "volume": "20"})
"""As it is typed: what goes far enough up the scale in the time there is."""

READINGS = 5
"""Readings averaged of each strand, the tress moved between them: as the published tresses."""

STEPS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "hair": ("tresses", "level"),
        "strands": ("strands",),
        "wash": (),
        "before": (),
        "mixture": ("kind", "volume", "parts", "temperature"),
        "times": ("minutes",),
        "rinse": (),
        "measure": ("repeats",),
        "fibre": (),
        "safety": (),
        "fill": ("strands", "share"),
        "standing": (),
    }
)
"""What is done, in order, and what has to be told of it; said as ``series.step.NAME``."""

COLUMNS = tuple(c.name for c in CONDITIONS if c.name not in (*START, *SD, *PHOTO))


@dataclass(frozen=True, eq=False, repr=False)
class Series(Result):
    """A series as it is planned; each tress is cut into one strand a time.

    Parameters
    ----------
    mixture : Mixture
        What lies on every strand.
    minutes : tuple of float
        Processing times [min], 0 to 120, rising; with 0, the hair before.
    tresses : int
        Of dark brown hair, and as many of red, 1 to 50.
    repeats : float
        Readings averaged of each strand [-], 1 to 1000.
    curves : CurveSet
        What is believed now.
    day : float
        A working day of one pair of hands [min], 60 to 1440.
    seed : int
        Of the order in which strands are begun.

    Raises
    ------
    LiftError
        For a value out of range or of the mixture's domain, or no time after 0 min.

    Examples
    --------
    >>> series = lightening_series()
    >>> len(series.names), len(series.swatches)
    (6, 36)
    """

    mixture: Mixture
    minutes: tuple[float, ...]
    tresses: int
    repeats: float
    curves: CurveSet
    day: float = DAY_MIN
    seed: int = 1

    def __post_init__(self) -> None:
        times = sorted({0.0, *np.asarray(MINUTES_Q.check(list(self.minutes))).tolist()})
        if len(times) < 2:
            raise LiftError("series.one_time")
        check_domain(Hair([BROWN_LEVEL, RED_LEVEL]), self.mixture, times, self.curves)
        object.__setattr__(self, "minutes", tuple(times))
        tresses = int(check_number("name.tresses", self.tresses, 1, 50))
        object.__setattr__(self, "tresses", tresses)
        object.__setattr__(self, "repeats", REPEATS.number(self.repeats))

    @property
    def names(self) -> tuple[str, ...]:
        """Name of each tress, brown ones first."""
        return tuple(f"{hair}-{i + 1}" for hair in ("brown", "red") for i in range(self.tresses))

    @cached_property
    def swatches(self) -> Swatches:
        """Conditions of every reading, as a tuning would read them; no colours yet."""
        many, each = self.tresses, len(self.minutes)
        return Swatches(
            names=self.names,
            level=np.repeat([BROWN_LEVEL, RED_LEVEL], many),
            pheomelanin_share=np.repeat([np.nan, RED_SHARE], many),
            swatch=np.repeat(np.arange(2 * many), each),
            kind=(self.mixture.kind,) * (2 * many * each),
            volume=self.mixture.developer_volume,
            minutes=np.tile(self.minutes, 2 * many),
            lab=np.tile([50.0, 0.0, 0.0], (2 * many * each, 1)),
            developer_parts=self.mixture.developer_parts,
            temperature_c=self.mixture.temperature_c,
            repeats=self.repeats,
            source=str(note("next.not_measured")),
            invented=True,
            classes=self.curves.mixtures,
        )

    @cached_property
    def narrowed(self) -> tuple[Narrowed, ...]:
        """What the series is expected to leave of what is not known, to first order."""
        return narrowing(self.swatches, self.curves)

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        """In which order its strands are covered, rinsed and read; see `lay_out_days`."""
        minutes = self.swatches.minutes.tolist()
        return lay_out_days(minutes, self.repeats, day=self.day, seed=self.seed)

    @property
    def believed(self) -> Note:
        """What is believed now, before the series."""
        drawn = self.curves.posterior is not None
        return note("series.draws" if drawn else "series.ranges", name=self.curves.name)

    @property
    def steps(self) -> tuple[Note, ...]:
        """What is done, in order."""
        told: dict[str, Any] = {
            "tresses": self.tresses,
            "strands": len(self.minutes),
            "level": BROWN_LEVEL,
            "kind": self.mixture.kind,
            "volume": self.mixture.developer_volume,
            "parts": self.mixture.developer_parts,
            "temperature": self.mixture.temperature_c,
            "minutes": [f"{t:g}" for t in self.minutes if t > 0.0],
            "repeats": self.repeats,
            "share": RED_SHARE,
        }
        return tuple(
            note(f"series.step.{step}", **{name: told[name] for name in names})
            for step, names in STEPS.items()
        )

    @property
    def columns(self) -> tuple[str, ...]:
        """Columns of the file to be filled in."""
        return (*COLUMNS, *(c.name for c in COLOURS))

    @property
    def freed(self) -> tuple[str, ...]:
        """Parameters that a tuning to the series should free."""
        named = (each.name for each in self.narrowed if each.name in self.curves)
        return tuple(dict.fromkeys((*FREE, *named)))

    @property
    def cautions(self) -> tuple[Note, ...]:
        """To be shown with the plan."""
        return cautions(self.mixture, self.minutes[-1], None, self.curves)


def lightening_series(
    mixture: Mixture | None = None,
    minutes: Sequence[float] = MINUTES,
    *,
    tresses: int = TRESSES,
    repeats: float = READINGS,
    curves: CurveSet | None = None,
    day: float = DAY_MIN,
    seed: int = 1,
) -> Series:
    """Plan the series that would tell most of what no measurement says: chroma of lightened hair.

    Parameters
    ----------
    mixture : Mixture, optional
        What lies on every strand; default: powder with 20 vol.
    minutes : sequence of float
        Processing times [min], 0 to 120.
    tresses : int
        Of dark brown hair, and as many of red, 1 to 50.
    repeats : float
        Readings averaged of each strand [-], 1 to 1000.
    curves : CurveSet, optional
        What is believed now; default: the shipped set.
    day, seed : float, int
        See `Series`.

    Returns
    -------
    Series

    Raises
    ------
    LiftError
        For a value out of range.
    """
    mixture = mixture or read_mixture(MIXTURE)
    return Series(mixture, tuple(minutes), tresses, repeats, curves or default_curves(), day, seed)


def template(series: Series) -> list[dict[str, str]]:
    """Rows of a series' swatch file, with every condition that is planned and no colour.

    In the order in which the strands are begun, with their times in the column ``note``.

    Until the colours are filled in, `lift.research.swatches.swatch_file.check_swatches` names
    what is missing.
    """
    table, mixture = series.swatches, series.mixture
    empty = dict.fromkeys(series.columns, "")
    shares = table.pheomelanin_share[table.swatch]
    return [
        {
            **empty,
            "swatch": table.names[table.swatch[i]],
            "mixture": mixture.kind,
            "volume": f"{mixture.developer_volume:g}",
            "minutes": f"{table.minutes[i]:g}",
            "measured_with": "instrument",
            "pheomelanin_share": "" if np.isnan(shares[i]) else f"{shares[i]:g}",
            "developer_parts": f"{mixture.developer_parts:g}",
            "temperature_c": f"{mixture.temperature_c:g}",
            "repeats": f"{series.repeats:g}",
            "illuminant": table.illuminant,
            "observer": str(table.observer),
            "note": str(run_note(run)),
        }
        for run in series.runs
        for i in (run.strand,)
    ]


def run_note(run: Run) -> Note:
    """When a strand is covered, rinsed and read, in a line."""
    told = {"number": run.number, "day": run.day, "rinse": run.rinse}
    told |= {"read_day": run.read_day, "read": run.read}
    if run.cover is None:
        return note("day.plain_run", **told)
    return note("day.run", cover=run.cover, **told)


def write_template(series: Series, path: NamedPath) -> None:
    """Write the file to be filled in, whole or not at all.

    Raises
    ------
    LiftError
        When the name ends in neither .csv nor .xlsx, or a file of that name is there: it may hold
        readings.
    """
    write_new(path, [str(note("series.file"))], template(series), series.swatches.classes)
