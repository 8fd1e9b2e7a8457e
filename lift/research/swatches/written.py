"""Swatch files as lift writes them: text, workbook or CxF by the name's ending."""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

import numpy as np

from lift.errors import LiftError
from lift.files import NamedPath, shown_path, write_whole
from lift.research.swatches.columns import (
    BY_NAME,
    CARRIED,
    COLOURS,
    CONDITIONS,
    OF_THE_SWATCH,
    PHOTO,
    SD,
    START,
)
from lift.research.swatches.generate import design, synthetic_laboratory
from lift.research.swatches.raw import INVENTED_MARK, WHAT
from lift.research.swatches.table import PHOTOGRAPH_BIAS, Swatches
from lift.research.swatches.workbook import WORKBOOK, to_workbook
from lift.words import note

TEXT = ".csv"
CXF = ".cxf"
ENDINGS = (TEXT, WORKBOOK, CXF)
FILLED_IN = (TEXT, WORKBOOK)
"""Endings of files that people fill in."""

EXAMPLE_MINUTES = (0.0, 10.0, 20.0, 35.0)
"""Times of the example in a template [min]."""


def write_swatches(swatches: Swatches, path: NamedPath) -> None:
    """Write a swatch file by its ending, whole or not at all.

    Raises
    ------
    LiftError
        When it cannot be written, or the library that its ending needs is not installed.
    """
    if Path(path).suffix.lower() == CXF:
        from lift.research.swatches.cxf import to_cxf

        content = to_cxf(swatches)
    else:
        words = [swatches.source] if swatches.source else []
        if swatches.invented and INVENTED_MARK not in swatches.source:
            words.append(str(note("swatches.invented")))
        content = in_form(path, words, file_rows(swatches), swatches.classes)
    write_whole(path, content, WHAT)


def write_template(path: NamedPath) -> None:
    """Write a swatch file to fill in, with an example of invented readings.

    Raises
    ------
    LiftError
        When the name ends in neither .csv nor .xlsx, when a file of that name is there, for it may
        hold readings, or when it cannot be written.
    """
    laboratory = synthetic_laboratory(design(2, minutes=EXAMPLE_MINUTES), seed=1)
    given = [c.name for c in CONDITIONS if c.name not in (*START, *PHOTO, *SD, *CARRIED)]
    empty = dict.fromkeys(CARRIED, "")
    rows = [{**row, **empty} for row in table_rows(laboratory.swatches, given)]
    write_new(path, [str(note("swatches.example"))], rows, laboratory.swatches.classes)


def write_new(
    path: NamedPath,
    words: Sequence[str],
    rows: Sequence[Mapping[str, str]],
    classes: Iterable[str],
) -> None:
    """Write a file to fill in; see `in_form`. One that is there is never written over.

    Raises
    ------
    LiftError
        See `write_template`.
    """
    if Path(path).suffix.lower() not in FILLED_IN:
        raise LiftError("swatches.filled_in", value=shown_path(path), endings=FILLED_IN)
    if os.path.lexists(path):
        raise LiftError("series.there", path=shown_path(path))
    write_whole(path, in_form(path, words, rows, classes), WHAT)


def in_form(
    path: NamedPath,
    words: Sequence[str],
    rows: Sequence[Mapping[str, str]],
    classes: Iterable[str],
) -> bytes:
    """Content of a swatch file: words for people, what each column holds, and the rows.

    Parameters
    ----------
    path : path-like
        Its name; ``.xlsx`` makes a workbook, all else text.
    words : sequence of str
        What stands at its top.
    rows : sequence of mapping
        Cells by column, all of the same columns.
    classes : iterable of str
        Classes of mixture that are known.
    """
    if Path(path).suffix.lower() == WORKBOOK:
        return to_workbook(words, rows, classes, shown_path(Path(path).name))
    out = io.StringIO()
    known = [BY_NAME[name] for name in rows[0] if name in BY_NAME]
    words = [*words, *(f"{c.name}: {c.meaning(classes)} [{c.unit}]" for c in known)]
    out.writelines(f"# {word}\n" for word in words)
    writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue().encode("utf-8")


def file_rows(swatches: Swatches) -> list[dict[str, str]]:
    """Cells of each row under the columns that this table needs."""
    left_out = {*START, *PHOTO, *CARRIED}
    if np.isnan(swatches.pheomelanin_share).all():
        left_out.add("pheomelanin_share")
    if np.isnan(swatches.own_sd).all():
        left_out |= {*SD}
    rows = table_rows(swatches, [c.name for c in CONDITIONS if c.name not in left_out])
    for name, words in swatches.carried.items():
        for row, word in zip(rows, words, strict=True):
            row[name] = word
    return rows


def table_rows(swatches: Swatches, names: Sequence[str]) -> list[dict[str, str]]:
    """Cells of each row, by column, with the colours as they were read."""
    bias = np.where(swatches.photograph[:, None], PHOTOGRAPH_BIAS, 0.0)
    lab = np.round(swatches.lab + bias, 3)
    level, share = (getattr(swatches, name)[swatches.swatch] for name in OF_THE_SWATCH)
    own_sd = swatches.own_sd
    with_chart = ~np.isnan(own_sd[:, 0])
    measured_with = np.where(with_chart, "chart", "instrument")
    measured_with[swatches.photograph] = "photograph"
    rows = []
    for i, kind in enumerate(swatches.kind):
        cells = {
            "swatch": swatches.names[swatches.swatch[i]],
            "mixture": kind,
            "volume": f"{swatches.volume[i]:.6g}",
            "minutes": f"{swatches.minutes[i]:.6g}",
            "measured_with": measured_with[i],
            "level": "" if np.isnan(level[i]) else f"{level[i]:.6g}",
            "pheomelanin_share": "" if np.isnan(share[i]) else f"{share[i]:.6g}",
            "developer_parts": f"{swatches.developer_parts[i]:.6g}",
            "fibre": f"{swatches.fibre_um[i]:.6g}",
            "temperature_c": f"{swatches.temperature_c[i]:.6g}",
            "ph": "" if np.isnan(swatches.ph[i]) else f"{swatches.ph[i]:.6g}",
            "repeats": f"{swatches.repeats[i]:.6g}",
            "illuminant": swatches.illuminant,
            "observer": str(swatches.observer),
            **dict(zip(SD, ("" if np.isnan(v) else f"{v:.6g}" for v in own_sd[i]), strict=True)),
        }
        names_of = [c.name for c in COLOURS]
        colour = dict(zip(names_of, (f"{v:.3f}" for v in lab[i]), strict=True))
        rows.append({**{n: cells[n] for n in names}, **colour})
    return rows
