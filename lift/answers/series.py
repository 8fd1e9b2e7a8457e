"""Answer of a lightening series: what to do, what to read, and what it would settle."""

from __future__ import annotations

from lift.answers.encode import Code, Part
from lift.answers.parts import CurveSetPart, curve_set_part, finite, rounded, said
from lift.research.planning.series import Series


class TressPart(Part):
    """A tress that is to be cut into one strand a time."""

    name: str
    level: float
    pheomelanin_share: float | None


class NarrowedPart(Part):
    """One number, with its 90 % interval before the series and as it should be after."""

    name: str
    unit: str
    low: float
    high: float
    low_after: float
    high_after: float


class RunPart(Part):
    """One strand through the days, times of its day [min]; `cover` is null where nothing lies."""

    number: int
    tress: str
    minutes: float
    day: int
    cover: float | None
    rinse: float
    read_day: int
    read: float


class SeriesAnswer(Part):
    """A lightening series."""

    tresses: list[TressPart]
    kind: str
    volume: float
    developer_parts: float
    temperature_c: float
    minutes: list[float]
    repeats: float
    readings: int
    illuminant: str
    observer: int
    steps: list[str]
    steps_codes: list[Code]
    columns: list[str]
    free: list[str]
    believed: str
    believed_code: Code
    narrowed: list[NarrowedPart]
    runs: list[RunPart]
    cautions: list[str]
    cautions_codes: list[Code]
    curve_set: CurveSetPart


def answer(series: Series) -> SeriesAnswer:
    """Answer of a lightening series."""
    table, mixture = series.swatches, series.mixture
    tresses = zip(table.names, table.level.tolist(), table.pheomelanin_share, strict=True)
    return SeriesAnswer(
        tresses=[TressPart(n, level, finite(share)) for n, level, share in tresses],
        kind=mixture.kind,
        volume=rounded(mixture.developer_volume),
        developer_parts=rounded(mixture.developer_parts),
        temperature_c=rounded(mixture.temperature_c),
        minutes=list(series.minutes),
        repeats=series.repeats,
        readings=len(table),
        illuminant=table.illuminant,
        observer=table.observer,
        columns=list(series.columns),
        free=list(series.freed),
        runs=[
            RunPart(
                number=run.number,
                tress=table.names[table.swatch[run.strand]],
                minutes=float(table.minutes[run.strand]),
                day=run.day,
                cover=run.cover,
                rinse=run.rinse,
                read_day=run.read_day,
                read=run.read,
            )
            for run in series.runs
        ],
        narrowed=[NarrowedPart(**vars(each)) for each in series.narrowed],
        **said(believed=series.believed, steps=series.steps, cautions=series.cautions),
        curve_set=curve_set_part(series.curves),
    )
