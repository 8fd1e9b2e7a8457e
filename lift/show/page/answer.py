"""An answer as it is sent: the engine's one JSON form, and beside it what a screen needs."""

from __future__ import annotations

import json
import pickle
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Annotated, Any

import numpy as np
from msgspec import Meta
from numpy.typing import ArrayLike

from lift.answers.encode import Part, encode
from lift.errors import Floats
from lift.model.curves import CurveSet
from lift.model.natural import natural_path
from lift.show.lock.beside import levels_around, with_levels
from lift.show.lock.shades import shade_texts
from lift.show.lock.shape import SHADES
from lift.words import LAST_LEVEL, say

Shades = Annotated[str, Meta(pattern=f"^([0-9a-f]{{6}}){{{{{SHADES}}}}}$")]
"""Shades of a lock, ``rrggbb`` of each, darkest first; see `lift.show.lock.shades.shade_texts`."""


class Lock(Part):
    """A lock as it is drawn, and what it is called."""

    shades: Shades
    words: str


def locks_beside(looks: Mapping[str, ArrayLike], curves: CurveSet) -> list[Lock]:
    """Locks of labelled CIELAB, shape (3,) each, and of the two natural levels beside the last."""
    shown = with_levels(looks, curves)
    return [*map(Lock, shade_texts([*shown.values()]), shown)]


def locks_around(lab: ArrayLike, curves: CurveSet) -> list[Lock]:
    """Locks of the two natural levels between which all of a strip is, CIELAB of shape (n, 3)."""
    return _natural(*levels_around(lab, curves))


@lru_cache(maxsize=4)
def natural_scale(curves: CurveSet) -> tuple[Lock, ...]:
    """Locks of natural hair of level 1 to 10."""
    levels = np.arange(1.0, LAST_LEVEL + 1.0)
    return tuple(_natural(levels, natural_path(curves).lab_of_level(levels)))


def _natural(levels: Floats, lab: Floats) -> list[Lock]:
    names = (say("plot.natural_level", level=level) for level in levels.tolist())
    return [*map(Lock, shade_texts(lab), names)]


@dataclass(frozen=True)
class Answer:
    """One answer, ready to be sent.

    Parameters
    ----------
    plain : bytes
        The JSON form, as the command line prints it but for white space; or text of `media`.
    shown : bytes
        ``{"answer": plain, "shown": ...}``: the same with words and drawn locks.
    waited : float, optional
        How long it waited for the answers of others [s].
    media : str
        Media type.
    headers : mapping
        Further headers.
    """

    plain: bytes
    shown: bytes = b""
    waited: float | None = None
    media: str = "application/json"
    headers: Mapping[str, str] = field(default_factory=dict)


def answered(answer: bytes, shown: Part) -> Answer:
    """Put an answer and what is shown of it side by side, without reading it again."""
    return Answer(answer, b'{"answer":' + answer + b',"shown":' + encode(shown) + b"}")


def policy(**sources: str) -> str:
    """Content security policy, by kind of source."""
    return "; ".join(f"{kind.replace('_', '-')} {source}" for kind, source in sources.items())


def to_json(payload: Any) -> bytes:
    """JSON without white space; a number that is not finite is a fault of ours."""
    return json.dumps(payload, allow_nan=False, separators=(",", ":")).encode()


@lru_cache(maxsize=4)
def curves_of(packed: bytes) -> CurveSet:
    """Curve set from its pickled form, unpacked once in each process."""
    curves: CurveSet = pickle.loads(packed)
    return curves
