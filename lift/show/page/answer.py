"""An answer as it is sent: the engine's one JSON form, and beside it what a screen needs."""

from __future__ import annotations

import json
import pickle
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Annotated, Any

from msgspec import Meta

from lift.answers.encode import Part, encode
from lift.model.curves import CurveSet

Colour = Annotated[str, Meta(pattern="^#[0-9a-f]{6}$")]


@dataclass(frozen=True)
class Answer:
    """One answer, ready to be sent.

    Parameters
    ----------
    plain : bytes
        The JSON form, as the command line prints it but for white space; or text of `media`.
    shown : bytes
        ``{"answer": plain, "shown": ...}``: the same with words and screen colours.
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
