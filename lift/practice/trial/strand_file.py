"""Strand file: the posterior of a strand test, kept as JSON for a later preview."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError, check_number, check_range
from lift.files import Kind, parse_json, read_whole, shown_path, write_whole
from lift.model.course import RATES
from lift.model.curves import CurveSet, before
from lift.model.ensemble import LATENT, draw_latent
from lift.model.hair import Hair
from lift.practice.trial.strand_test import StrandTest
from lift.quantities import quantities_of
from lift.words import note

MARK = "lift strand test"


def _unmeasured(old: Any) -> Any:
    """Version 2 has a deviate more, of what nobody measured; an older test said nothing of it."""
    rows = old.get("latent") if isinstance(old, dict) else None
    if not isinstance(rows, list) or not all(isinstance(r, list) and len(r) == 4 for r in rows):
        return old
    column = draw_latent(max(len(rows), 2))[:, -1].tolist()
    return {**old, "latent": [[*row, z] for row, z in zip(rows, column, strict=False)]}


KIND = Kind("file.strand", (_unmeasured,))
MAX_BYTES = 10_000_000
SPREAD = ("level_sd", "rate_log_sd", "fibre_log_sd", "fade_log_sd")
CENTRE = (*RATES, "fade_minutes", "melanin_at_level_3", "level_ratio")


@dataclass(frozen=True, eq=False)
class StrandFile:
    """What a strand file holds.

    Parameters
    ----------
    name : str
        Where it was read from.
    latent : numpy.ndarray
        Deviates of equally likely strands, shape (members, 5).
    hair : mapping
        Fields of the hair that was tested.
    values : mapping
        The curve set's parameters that give the deviates their meaning.
    """

    name: str
    latent: Floats
    hair: dict[str, Any]
    values: dict[str, float]

    def latent_for(self, hair: Hair, curves: CurveSet) -> Floats:
        """Return the deviates, when they belong to this hair and curve set.

        Raises
        ------
        LiftError
            Naming what differs.
        """
        for field, kept in self.hair.items():
            now = getattr(hair, field)
            if now != kept:
                raise LiftError(
                    "strand_file.other_hair",
                    name=self.name,
                    field=field.replace("_", " "),
                    there=_plain(kept),
                    here=_plain(now),
                )
        for name, kept in self.values.items():
            if curves[name].value != kept:
                raise LiftError(
                    "strand_file.other_curves",
                    name=self.name,
                    parameter=name,
                    there=kept,
                    here=curves[name].value,
                )
        return self.latent


def _plain(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def save_strand(test: StrandTest, path: str | os.PathLike[str]) -> None:
    """Write the posterior and what was seen; refused when nothing was."""
    if test.posterior is None:
        raise LiftError("strand_file.nothing")
    curves = test.before.curves
    hair = test.before.hair
    payload = {
        "kind": MARK,
        "version": KIND.version,
        "hair": {name: getattr(hair, name) for name in quantities_of(Hair)},
        "values": {name: curves[name].value for name in SPREAD + CENTRE},
        "rinse_minutes": test.before.minutes,
        "observations": [
            {"minutes": o.minutes, "level": o.level, "lab": o.lab} for o in test.observations
        ],
        "latent": np.round(test.latent, 5).tolist(),
    }
    write_whole(path, json.dumps(payload, allow_nan=False) + "\n", KIND.name)


def load_strand(path: str | os.PathLike[str]) -> StrandFile:
    """Read a strand file; what an older one lacks is the default that it was computed with.

    Raises
    ------
    LiftError
        When it cannot be read, is no strand file, or is of a newer release.
    """
    name = shown_path(path)
    payload = parse_json(read_whole(path, MAX_BYTES, KIND.name), KIND.name, path)
    if not isinstance(payload, dict) or payload.get("kind") != MARK:
        raise LiftError("strand_file.other_kind", name=name)
    payload = KIND.brought_up(payload, payload.get("version"), path)
    hair, values = payload.get("hair"), payload.get("values")
    if not isinstance(hair, dict) or "level" not in hair:
        raise LiftError("strand_file.no_hair", name=name)
    if not isinstance(values, dict):
        raise LiftError("strand_file.no_values", name=name)
    properties = quantities_of(Hair)
    KIND.refuse_unknown({*hair, *values}, {*properties, *SPREAD, *CENTRE}, path)
    hair = {field: hair.get(field, q.default) for field, q in properties.items()}
    values = {key: values.get(key, before(key, values)) for key in SPREAD + CENTRE}
    for key, value in values.items():
        check_number(note("strand_file.cell", name=name, key=key), value, -1e9, 1e9)
    deviates: Any = payload.get("latent")
    latent = check_range(note("strand_file.deviate", name=name), deviates, -10.0, 10.0)
    if latent.ndim != 2 or latent.shape[0] < 2 or latent.shape[1] != len(LATENT):
        raise LiftError("strand_file.rows", name=name)
    return StrandFile(name, latent, hair, values)
