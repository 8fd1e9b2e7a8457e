"""Measured swatches: one table of readings, validated, ready to be fitted."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lift.chemistry.strength import check_on_head, on_head_volume
from lift.errors import Floats, LiftError, check_choice, check_range
from lift.model.curves import Values
from lift.model.mixtures import MixtureClasses, mixture_classes
from lift.optics.weights import weights
from lift.practice.trial.observation import SURE, UNSURE
from lift.quantities import MINUTES, Quantity
from lift.research.swatches.columns import HAIR, MIXTURE, OF_THE_SWATCH, REPEATS
from lift.results import Result

SCATTER = (0.65, 0.22, 0.185)
"""Standard deviation of one reading on repositioning the tress, in L*, a* and b*: mean of the two
published rows in ``reference/hair_colour_measured.csv`` (J. Cosmet. Sci. 51 (2000), p. 293)."""

PHOTOGRAPH_BIAS = (33.4, 3.4, 8.0)
"""L*, a*, b* that photographs of hair read above a spectrophotometer (Vaughn et al. 2009)."""

PER_ROW = {
    "volume": MIXTURE["volume"],
    "minutes": MINUTES,
    "developer_parts": MIXTURE["developer_parts"],
    "fibre_um": HAIR["fibre_um"],
    "temperature_c": MIXTURE["temperature_c"],
    "ph": MIXTURE["ph"],
    "repeats": REPEATS,
}
"""Conditions of every reading."""

ROW_ARRAYS = (*PER_ROW, "lab", "photograph", "own_sd")
"""All that every reading has in an array, beside its swatch."""

PHOTOGRAPH_SCATTER = (5.0, 2.0, 3.0)
"""Standard deviation of one photographed colour about that bias; assumed, the abstract read gives
none."""


@dataclass(frozen=True, eq=False, repr=False)
class Swatches(Result):
    """Readings of swatches, one row a reading; row arrays have shape (rows,).

    A start colour is a reading at 0 min. A nan in `level` means the level was not judged, a nan in
    `pheomelanin_share` that the hair is brown or blond, a nan in `ph` that the curve set's pH of
    that mixture holds.

    Parameters
    ----------
    names : tuple of str
        Name of each swatch, each once.
    level : array_like
        Natural level as judged [-], 1 to 10 or nan, shape (swatches,).
    swatch : array_like of int
        Index into `names` of each row.
    kind : tuple of str
        Class of mixture of each row, by name.
    volume : array_like
        Developer strength [vol], 0 to 100.
    minutes : array_like
        Processing time [min], 0 to 120.
    lab : array_like
        CIELAB as an instrument reads it, shape (rows, 3); the bias of photographs is already off.
    pheomelanin_share : array_like
        Pheomelanin in all melanin [-], 0 to 1, or nan for the curve set's, shape (swatches,).
    developer_parts : array_like, optional
        Parts of developer to one part of product [-], 0.1 to 10; default the usual ones.
    fibre_um : array_like
        Fibre diameter [um], 30 to 130.
    temperature_c : array_like
        Temperature of the mixture [C], 10 to 50.
    ph : array_like
        pH of the mixture [-], 2 to 13 or nan.
    repeats : array_like
        Readings averaged in a row [-], 1 to 1000.
    photograph : array_like of bool
        Whether the colour came from a photograph without a chart.
    own_sd : array_like
        Standard deviations of a reading that brings its own, as one from a photograph with a chart
        does, or nan, shape (rows, 3).
    scatter : tuple of float
        Standard deviation of one instrument reading in L*, a*, b*; default `SCATTER`.
    illuminant, observer : str, int
        Conditions of the colours; default D65, 10 degrees.
    carried : mapping
        What else stood in each row, words by heading: shape (rows,) each.
    source : str
        Where the readings come from.
    invented : bool
        True for a synthetic laboratory.
    sha256 : str
        Checksum of the file they were read from; default: of the rows themselves.
    classes : MixtureClasses
        Classes of mixture known; default: the shipped ones.

    Raises
    ------
    LiftError
        For shapes that differ, values out of range, a swatch without rows or no rows.
    LimitError
        When a strength on the hair exceeds 12 % H2O2.
    """

    names: tuple[str, ...]
    level: Any
    swatch: Any
    kind: tuple[str, ...]
    volume: Any
    minutes: Any
    lab: Any
    pheomelanin_share: Any = np.nan
    developer_parts: Any = None
    fibre_um: Any = 70.0
    temperature_c: Any = 30.0
    ph: Any = np.nan
    repeats: Any = 1.0
    photograph: Any = False
    own_sd: Any = np.nan
    scatter: tuple[float, float, float] = SCATTER
    illuminant: str = "D65"
    observer: int = 10
    carried: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    source: str = ""
    invented: bool = False
    sha256: str = ""
    classes: MixtureClasses = field(default_factory=mixture_classes)

    def __post_init__(self) -> None:
        rows = len(self.kind)
        if rows == 0:
            raise LiftError("swatches.no_rows")
        if len(set(self.names)) != len(self.names):
            raise LiftError("swatches.named_twice")
        for kind in dict.fromkeys(self.kind):
            check_choice("quantity.kind.label", kind, self.classes)
        swatch = np.asarray(self.swatch)
        if swatch.shape != (rows,) or not np.issubdtype(swatch.dtype, np.integer):
            raise LiftError("swatches.index_shape", shape=swatch.shape, rows=rows)
        if sorted(set(swatch.tolist())) != list(range(len(self.names))):
            raise LiftError("swatches.every_swatch")
        _freeze(self, "swatch", swatch.astype(np.intp))
        if self.developer_parts is None:
            parts = np.array([self.classes[k].developer_parts for k in self.kind])
            object.__setattr__(self, "developer_parts", parts)
        for name, q in PER_ROW.items():
            numbers = _checked(q, getattr(self, name), empty=name == "ph")
            _freeze(self, name, _shaped(name, numbers, (rows,)))
        for name in OF_THE_SWATCH:
            own = _checked(HAIR[name], getattr(self, name), empty=True)
            _freeze(self, name, _shaped(name, own, (len(self.names),)))
        _freeze(self, "photograph", _shaped("photograph", np.asarray(self.photograph), (rows,)))
        own_sd = np.broadcast_to(np.asarray(self.own_sd, dtype=np.float64), (rows, 3))
        known = own_sd[~np.isnan(own_sd)]
        check_range("name.own_sd", known if known.size else 1.0, SURE, UNSURE)
        _freeze(self, "own_sd", own_sd)
        lab = np.asarray(self.lab, dtype=np.float64)
        if lab.shape != (rows, 3):
            raise LiftError("swatches.shape", name="lab", shape=lab.shape, allowed=(rows, 3))
        check_range("name.lightness", lab[:, 0], -40.0, 110.0)
        check_range("name.a_and_b", lab[:, 1:], -130.0, 150.0)
        _freeze(self, "lab", lab)
        for name, words in self.carried.items():
            if len(words) != rows:
                raise LiftError("swatches.shape", name=name, shape=(len(words),), allowed=(rows,))
        check_range("name.scatter", self.scatter, 1e-3, 50.0)
        object.__setattr__(self, "scatter", tuple(map(float, self.scatter)))
        weights(self.illuminant, self.observer)
        check_on_head(self.on_head_volume)
        if not self.sha256:
            object.__setattr__(self, "sha256", self._checksum())

    def __len__(self) -> int:
        return len(self.kind)

    @property
    def on_head_volume(self) -> Floats:
        """Strength as it lies on the hair [vol], shape (rows,)."""
        return on_head_volume(self.volume, self.developer_parts)

    @cached_property
    def _rows_of(self) -> dict[str, NDArray[np.bool_]]:
        kind = np.array(self.kind)
        return {name: kind == name for name in dict.fromkeys(self.kind)}

    def melanin(self, values: Values) -> Any:
        """Pheomelanin share of each row, shape (rows,), or (sets, rows) for values of (sets, 1)."""
        own = self.pheomelanin_share[self.swatch]
        return np.where(np.isnan(own), values["pheomelanin_share"], own)

    def properties(self, values: Values) -> dict[str, Any]:
        """As `Mixture.properties`, each shape (rows,), or (sets, rows) for values of (sets, 1)."""
        classes = {name: self.classes[name].properties(values) for name in self._rows_of}

        def by_row(of: dict[str, Any]) -> Any:
            rows: Any = 0.0
            for name, value in of.items():
                rows = np.where(self._rows_of[name], value, rows)
            return rows

        dyes = dict.fromkeys(dye for each in classes.values() for dye in each["tone"])
        return {
            **{
                key: by_row({name: each[key] for name, each in classes.items()})
                for key in ("ph", "boost", "persulfate", "film_ratio")
            },
            "powder_share": 1.0 / (1.0 + self.developer_parts),
            "tone": {
                dye: by_row({name: each["tone"].get(dye, 0.0) for name, each in classes.items()})
                for dye in dyes
            },
            "tone_minutes": values["tone_minutes"],
        }

    @property
    def sd(self) -> Floats:
        """Expected standard deviation of each row in L*, a*, b*, shape (rows, 3)."""
        one = np.where(self.photograph[:, None], PHOTOGRAPH_SCATTER, self.scatter)
        one = one / np.sqrt(self.repeats)[:, None]
        return np.asarray(np.where(np.isnan(self.own_sd), one, self.own_sd))

    def replace(self, **changes: Any) -> Swatches:
        """Return the table with some fields changed; the checksum is taken anew."""
        for key in changes:
            check_choice("name.swatch_field", key, [f.name for f in fields(self)])
        return replace(self, **{"sha256": "", **changes})

    def rows(self, keep: ArrayLike) -> Swatches:
        """Return only some rows, and the swatches that they belong to.

        Parameters
        ----------
        keep : array_like
            Mask of shape (rows,) or row indices.

        Raises
        ------
        LiftError
            When no row is left.
        """
        index = np.arange(len(self))[np.asarray(keep)]
        kept, renumbered = np.unique(self.swatch[index], return_inverse=True)
        return self.replace(
            names=tuple(self.names[i] for i in kept),
            **{name: getattr(self, name)[kept] for name in OF_THE_SWATCH},
            swatch=renumbered,
            **self.of_rows(index),
        )

    def of_rows(self, index: ArrayLike) -> dict[str, Any]:
        """All that rows have beside their swatch, of those given by their indices."""
        at = np.asarray(index, dtype=np.intp)
        return {
            "kind": tuple(self.kind[i] for i in at),
            **{name: getattr(self, name)[at] for name in ROW_ARRAYS},
            "carried": {n: tuple(words[i] for i in at) for n, words in self.carried.items()},
        }

    def without(self, swatch: int) -> Swatches:
        """Return the table without one swatch, given by its index."""
        return self.rows(self.swatch != swatch)

    def only(self, swatch: int) -> Swatches:
        """Return only the rows of one swatch, given by its index."""
        return self.rows(self.swatch == swatch)

    def _checksum(self) -> str:
        digest = hashlib.sha256("\0".join((*self.names, *self.kind)).encode("utf-8"))
        for f in fields(self):
            value = getattr(self, f.name)
            if isinstance(value, np.ndarray) and not (f.name == "own_sd" and np.isnan(value).all()):
                digest.update(np.ascontiguousarray(value).tobytes())
        return digest.hexdigest()


def _checked(q: Quantity, value: Any, *, empty: bool) -> Floats:
    assert q.low is not None, q.name
    assert q.high is not None, q.name
    if not empty:
        return check_range(q.label, value, q.low, q.high, q.unit)
    numbers = np.asarray(value, dtype=np.float64)
    check_range(q.label, numbers[~np.isnan(numbers)], q.low, q.high, q.unit)
    return numbers


def _shaped(name: str, value: NDArray[Any], shape: tuple[int, ...]) -> NDArray[Any]:
    if value.ndim and value.shape != shape:
        raise LiftError("swatches.shape", name=name, shape=value.shape, allowed=shape)
    return np.broadcast_to(value, shape)


def _freeze(target: object, name: str, value: NDArray[Any]) -> None:
    value = np.array(value)
    value.setflags(write=False)
    object.__setattr__(target, name, value)
