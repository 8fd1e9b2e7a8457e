"""Results: what every one can do - say itself shortly, show itself, be kept and be compared.

The door only: what is said and drawn lives in ``lift.show.results`` and is loaded on first use.
"""

from __future__ import annotations

import os
from importlib import import_module
from typing import Any

from lift.doors import checked

_HOME = "lift.show.results"


def _room(name: str) -> Any:
    return import_module(f"{_HOME}.{name}")


@checked
class Result:
    """Something computed. A subclass is a dataclass with ``repr=False``.

    At the end of a notebook's cell it shows what it comes to, a picture where it has one, and the
    cautions that belong to it.
    """

    __slots__ = ()

    def __repr__(self) -> str:
        """Return what it comes to in fewer than ten lines."""
        text: str = _room("facts").short(self)
        return text

    def _repr_html_(self) -> str:
        html: str = _room("html").html_of(self)
        return html

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        return {"text/html": self._repr_html_(), "text/plain": repr(self)}

    @property
    def hex(self) -> Any:
        """Its colours on an sRGB screen as ``#rrggbb``; one, or a tuple of them.

        Each is a text with ``in_gamut``: False where the screen cannot show the colour and it is
        the nearest that it can, channel by channel. A screen colour is for showing only.

        Raises
        ------
        LiftError
            When it has no colour.
        """
        return _room("colours").hex_of(self)

    def to_frame(self) -> Any:
        """Its numbers as a ``pandas.DataFrame``, the columns of `to_csv`.

        Raises
        ------
        LiftError
            When pandas is not installed.
        """
        return _room("tabular").frame_of(self)

    def to_csv(self, path: str | os.PathLike[str] | None = None) -> str:
        """Its numbers as CSV (RFC 4180), one row for each time, level, zone or parameter.

        Parameters
        ----------
        path : path-like, optional
            Where to write it, too.
        """
        text: str = _room("tabular").csv_of(self, path)
        return text

    def save(self, path: str | os.PathLike[str]) -> None:
        """Write it by the path's ending: csv, json, html, png, svg or pdf.

        Raises
        ------
        LiftError
            When the ending is none of these, or it has no picture, or no JSON.
        """
        _room("keep").save(self, path)

    def strip(self, *minutes: float) -> Any:
        """Draw its hair at given processing times [min], side by side; default: five of them.

        Raises
        ------
        LiftError
            When it is not of hair under a mixture, or was not computed at such a time.
        """
        return _room("strips").strip_of(self, minutes)

    def compare(self, *others: Any, names: tuple[str, ...] = ()) -> Any:
        """Hold it beside others of its kind: what differs, how far apart the colours are [dE00].

        Parameters
        ----------
        *others : Result
            Of the same kind.
        names : tuple of str, optional
            What each is called, this one first.

        Raises
        ------
        LiftError
            When another is of another kind, or names and results are not as many.
        """
        return _room("compared").compare(self, others, names)
