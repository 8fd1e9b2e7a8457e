"""Strand file: the posterior of a strand test, kept as JSON for a later preview."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from typing import Any

import numpy as np

from lift.errors import Floats, LiftError, check_range
from lift.files import parse_json, read_whole, write_whole
from lift.model.curves import CurveSet
from lift.model.hair import Hair
from lift.practice.trial.strand_test import StrandTest

KIND = "lift strand test"
VERSION = 1
MAX_BYTES = 10_000_000
SPREAD = ("level_sd", "rate_log_sd", "fibre_log_sd", "fade_log_sd")
CENTRE = ("lightening_rate", "fade_minutes", "melanin_at_level_3", "level_ratio")
_HAIR = ("level", "fibre_um", "damp", "pheomelanin_share", "grey_percent", "lightened_to")


@dataclass(frozen=True, eq=False)
class StrandFile:
    """What a strand file holds.

    Parameters
    ----------
    name : str
        Where it was read from.
    latent : numpy.ndarray
        Deviates of equally likely strands, shape (members, 4).
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
                    f"strand file {self.name} is of other hair: {field.replace('_', ' ')} "
                    f"{_say(kept)} there, {_say(now)} here"
                )
        for name, kept in self.values.items():
            if curves[name].value != kept:
                raise LiftError(
                    f"strand file {self.name} belongs to another curve set: {name} {kept:g} there, "
                    f"{curves[name].value:g} here"
                )
        return self.latent


def _say(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def save_strand(test: StrandTest, path: str | os.PathLike[str]) -> None:
    """Write the posterior.

    Parameters
    ----------
    test : StrandTest
        With at least one observation.
    path : path-like
        Target.

    Raises
    ------
    LiftError
        When nothing was observed or the file cannot be written.
    """
    if test.posterior is None:
        raise LiftError("nothing was seen, so there is nothing to save; give --seen")
    curves = test.before.curves
    hair = test.before.hair
    payload = {
        "kind": KIND,
        "version": VERSION,
        "hair": {name: getattr(hair, name) for name in _HAIR},
        "values": {name: curves[name].value for name in SPREAD + CENTRE},
        "test": test.to_dict(),
        "latent": np.round(test.latent, 5).tolist(),
    }
    write_whole(path, json.dumps(payload, allow_nan=False) + "\n", "file.strand")


def load_strand(path: str | os.PathLike[str]) -> StrandFile:
    """Read a strand file.

    Raises
    ------
    LiftError
        When it cannot be read or is not a strand file of this version.
    """
    name = str(path)
    payload = parse_json(read_whole(path, MAX_BYTES, "file.strand"), "file.strand", path)
    if not isinstance(payload, dict) or payload.get("kind") != KIND:
        raise LiftError(f"{name!r} is not a strand file (made by lift strand --save)")
    if payload.get("version") != VERSION:
        raise LiftError(f"strand file {name!r} has version {payload.get('version')!r}, not 1")
    hair, values = payload.get("hair"), payload.get("values")
    if not isinstance(hair, dict) or set(hair) != set(_HAIR):
        raise LiftError(f"strand file {name!r} lacks the hair it is of")
    if not isinstance(values, dict) or set(values) != {*SPREAD, *CENTRE}:
        raise LiftError(f"strand file {name!r} lacks the parameters it rests on")
    for key, value in values.items():
        check_range(f"strand file {name!r}: {key}", value, -1e9, 1e9)
    deviates: Any = payload.get("latent")
    latent = check_range(f"strand file {name!r}: deviate", deviates, -10.0, 10.0)
    if latent.ndim != 2 or latent.shape[0] < 2 or latent.shape[1] != 4:
        raise LiftError(f"strand file {name!r}: deviates are not rows of four numbers")
    return StrandFile(name, latent, hair, values)
