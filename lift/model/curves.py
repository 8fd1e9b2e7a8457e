"""Curve set: every number of the model with its unit, range, status and source."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from lift.doors import checked
from lift.errors import LiftError, check_choice, check_number, check_range
from lift.files import DATA, Kind, parse_toml, read_whole, shown_path, write_whole
from lift.model import misfit
from lift.model.draws import ParameterDraws, parse_draws
from lift.model.parameter import WIDE, Parameter
from lift.model.sealed import SEAL, seal_of
from lift.model.validity import Validity, parse_validity
from lift.quantities import Lab
from lift.results import Result
from lift.words import Note, note, say

if TYPE_CHECKING:
    from lift.model.hair import Hair
    from lift.model.mixture import Mixture
    from lift.model.mixtures import MixtureClasses

MAX_BYTES = 20_000_000
KIND = Kind("file.curve_set")
ASIDE = "left_aside"
"""Key of the provenance under which a tuned set names what had no say in its fit."""

FILLED = "filled_in"
"""Key of the provenance: parameters that a file lacked, so that the default set's stand in."""

UNSEALED = "unsealed"
"""Key of the provenance: what is to be said of a file that was changed since it was sealed."""

BEFORE: Mapping[str, float | str] = MappingProxyType(
    {
        "persulfate_rate": 0.0,
        "hydroperoxide_order": 1.0,
        "peroxide_loss": 0.0,
        "base_break_film": 1.0,
        "swelling_gain": 1.0,
        "oxidised_pheomelanin_slope": "half_oxidised_slope",
        "oxidised_pheomelanin_yield": "half_oxidised_yield",
        "oxidised_pheomelanin_rate_ratio": "half_oxidised_rate_ratio",
    }
)
"""What a file of before stands for, where it lacks what the model has learned since: a number, or
the parameter that did its work."""

RED_SHARE = 0.42
"""Share of pheomelanin that stands for red hair where none is given [-]; see ``red_share``."""

Values = Mapping[str, Any]
"""Parameter values by name: floats, or arrays where an ensemble varies them."""


def _shipped() -> MixtureClasses:
    # A class may name parameters of a curve set, so its module stands above this one.
    from lift.model.mixtures import mixture_classes

    return mixture_classes()


@checked
@dataclass(frozen=True, repr=False)
class CurveSet(Result):
    """All parameters of the stage curves, frozen.

    Parameters
    ----------
    name : str
        Name shown with every result.
    parameters : tuple of Parameter
        All parameters of the default set, each once.
    provenance : tuple of (str, str)
        What was fitted, to what, when and how well, as key and text.
    validity : Validity, optional
        Conditions that it is good for; None: it does not say.
    posterior : ParameterDraws, optional
        What measured swatches leave open; an ensemble then draws from it.
    mixtures : MixtureClasses
        Classes of mixture known, default the shipped ones; see `lift.load_mixtures`.
    seal : str
        Checksum that its file carries, see `lift.model.sealed`; empty: of no file, or of one that
        carries none.

    Raises
    ------
    LiftError
        When a parameter is doubled, or a draw lies outside its range.

    Examples
    --------
    >>> curves = default_curves().replace(cream_ph=9.5, name="milder")
    >>> curves.name, curves["cream_ph"].value, curves["cream_ph"].status
    ('milder', 9.5, 'assumed')
    """

    name: str
    parameters: tuple[Parameter, ...]
    provenance: tuple[tuple[str, str], ...] = ()
    validity: Validity | None = None
    posterior: ParameterDraws | None = None
    mixtures: MixtureClasses = field(default_factory=_shipped)
    seal: str = field(default="", compare=False)
    _index: Mapping[str, Parameter] = field(init=False, repr=False, compare=False)
    _values: Values = field(init=False, repr=False, compare=False)
    _hash: int = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        index = {p.name: p for p in self.parameters}
        if len(index) != len(self.parameters):
            raise LiftError("curves.twice", name=self.name)
        object.__setattr__(self, "_index", MappingProxyType(index))
        values = {name: p.value for name, p in index.items()}
        object.__setattr__(self, "_values", MappingProxyType(values))
        # Tables are kept by curve set; hashing all parameters anew each time would cost more
        # than looking them up saves.
        object.__setattr__(self, "_hash", hash((self.name, self.parameters)))
        if self.posterior is not None:
            for name in self.posterior.names:
                said, drawn = note("draws.of", name=name), self.posterior.column(name)
                if name in misfit.NAMES:
                    check_range(said, drawn, *misfit.RANGE)
                else:
                    p = self[name]
                    check_range(said, drawn, p.low, p.high, p.unit)

    def __hash__(self) -> int:
        return self._hash

    def __reduce__(self) -> Any:
        # The index is a view, which cannot be pickled; it is made again.
        return CurveSet, tuple(getattr(self, f.name) for f in fields(self) if f.init)

    def __getitem__(self, name: str) -> Parameter:
        return self._index[check_choice("curves.parameter", name, self._index)]

    def __iter__(self) -> Any:
        return iter(self._index)

    @property
    def values(self) -> Values:
        """Parameter values by name [each in its own unit]."""
        return self._values

    def replace(
        self, *, name: str | None = None, status: str = "", source: str = "", **values: float
    ) -> CurveSet:
        """Return a curve set with some values changed, each inside its parameter's range.

        What is changed is then known: a posterior varies the other parameters only.

        Parameters
        ----------
        name : str, optional
            Name of the new set; default: this one's with ``*`` behind it.
        status, source : str, optional
            Of the changed parameters; default: assumed, set by hand.
        **values : float
            New values by name of the parameter.
        """
        for key in values:
            check_choice("curves.parameter", key, self._index)
        changed = tuple(
            replace(
                p,
                value=float(values[p.name]),
                status=status or "assumed",
                source=source or say("curves.by_hand", name=self.name, value=p.value),
            )
            if p.name in values
            else p
            for p in self.parameters
        )
        posterior = None if self.posterior is None else self.posterior.without(values)
        name = name or f"{self.name}*"
        return replace(self, name=name, parameters=changed, posterior=posterior, seal="")

    def with_mixtures(self, classes: MixtureClasses) -> CurveSet:
        """Return the curve set with the classes of mixture that are known."""
        return replace(self, mixtures=classes)

    @property
    def invented(self) -> bool:
        """Whether it was tuned to invented swatches."""
        return "invented" in dict(self.provenance)

    @property
    def standing(self) -> Note:
        """What the rates rest on, in a few words."""
        told = dict(self.provenance)
        if not any(p.status == "tuned" for p in self.parameters):
            rests_on = note("standing.common_practice")
        elif "tuned_to" in told:
            rests_on = note("standing.tuned_to", to=told["tuned_to"])
        else:
            rests_on = note("standing.invented" if self.invented else "standing.measured")
        if ASIDE in told:
            rests_on = note("standing.aside", rests_on=rests_on, what=told[ASIDE])
        if UNSEALED in told:
            rests_on = note("standing.unsealed", rests_on=rests_on)
        if self.misfit is None:
            return rests_on
        lightness, a, b = self.misfit
        return note("standing.misfit", rests_on=rests_on, lightness=lightness, a=a, b=b)

    @property
    def misfit(self) -> Lab | None:
        """Standard deviation of what strands are off by in L*, a*, b*; None of a set without."""
        if self.posterior is None or not set(misfit.NAMES) <= set(self.posterior.names):
            return None
        columns = np.stack([self.posterior.column(name) for name in misfit.NAMES])
        by_channel = columns.reshape(len(misfit.CHANNELS), -1)
        lightness, a, b = np.sqrt(np.mean(by_channel**2, axis=1)).tolist()
        return lightness, a, b

    def extrapolations(self, hair: Hair, mixture: Mixture, minutes: ArrayLike) -> tuple[Note, ...]:
        """What of a prediction, shown up to some times [min], lies outside what it is good for.

        Measured by swatches, or spoken of by rows of practice; nothing for a set that does not say.
        """
        if self.validity is None:
            return ()
        return self.validity.extrapolations(
            hair, mixture, minutes, mixture.properties(self.values)["ph"]
        )

    def to_toml(self) -> str:
        """Text of the curve-set file, with its seal in the second line."""
        lines = [f"name = {_quote(self.name)}", f"version = {KIND.version}", "", "[provenance]"]
        lines += [f"{key} = {_quote(text)}" for key, text in self.provenance]
        if self.validity is not None:
            lines += ["", *self.validity.to_toml()]
        if self.posterior is not None:
            lines += ["", *self.posterior.to_toml()]
        for p in self.parameters:
            lines += [
                "",
                f"[parameters.{p.name}]",
                f"value = {p.value!r}",
                f"unit = {_quote(p.unit)}",
                f"low = {p.low!r}",
                f"high = {p.high!r}",
                f"status = {_quote(p.status)}",
                f"source = {_quote(p.source)}",
            ]
        text = "\n".join(lines) + "\n"
        sealed = f'{SEAL} = "{seal_of(parse_toml(text, KIND.name))}"'
        return text.replace("\n", f"\n{sealed}\n", 1)

    def save(self, path: str | os.PathLike[str]) -> None:
        """Write the curve set as TOML."""
        write_whole(path, self.to_toml(), "file.curve_set")


def _quote(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'


def _parse(text: str, where: str) -> tuple[CurveSet, bool]:
    """Curve set of a file's text, and whether it was changed since it was sealed."""
    table = parse_toml(text, KIND.name, where)
    changed = SEAL in table and table[SEAL] != seal_of(table)
    table = KIND.brought_up(table, table.get("version"), where)
    place = KIND.at(where)
    rows = table.get("parameters")
    if not isinstance(rows, dict) or not rows:
        raise LiftError("curves.no_parameters", place=place)
    keys = [f.name for f in fields(Parameter) if f.name != "name"]
    parameters = []
    for name, row in rows.items():
        if not isinstance(row, dict) or set(row) != set(keys):
            raise LiftError("curves.row", place=place, name=name, keys=keys)
        cells: dict[str, Any] = {
            key: check_number(note("curves.cell", place=place, name=name, key=key), row[key], *WIDE)
            for key in ("value", "low", "high")
        }
        cells |= {key: str(row[key]) for key in ("unit", "status", "source")}
        parameters.append(Parameter(name, **cells))
    provenance = table.get("provenance", {})
    if not isinstance(provenance, dict):
        raise LiftError("curves.provenance", place=place)
    told = [(str(key), str(value)) for key, value in provenance.items()]
    if changed and UNSEALED not in provenance:
        told.append((UNSEALED, str(note("provenance.unsealed"))))
    ranges, draws = table.get("validity"), table.get("posterior")
    curves = CurveSet(
        str(table.get("name", where)),
        tuple(parameters),
        tuple(told),
        None if ranges is None else parse_validity(ranges, place),
        None if draws is None else parse_draws(draws, place),
        seal="" if changed else str(table.get(SEAL, "")),
    )
    return curves, changed


@cache
def default_curves() -> CurveSet:
    """The shipped curve set, calibrated to common practice (see its provenance).

    Examples
    --------
    >>> str(default_curves().standing)
    'calibrated to common practice, not measured'
    """
    return _parse((DATA / "default_curves.toml").read_text("utf-8"), "default")[0]


def load_curves(path: str | os.PathLike[str], *, unsealed: bool = False) -> CurveSet:
    """Read a curve-set file, of this release or an older one.

    Parameters
    ----------
    path : path-like
        The file.
    unsealed : bool
        Take it though something in it was changed since it was sealed; its standing then says so.
        Older files carry no seal.

    A file of an older release lacks what the model has learned since. It is filled in so that the
    file predicts what it did (see `BEFORE`); the provenance names what was, under `FILLED`.

    Raises
    ------
    LiftError
        When the file cannot be read, is not TOML, misnames a parameter, or was changed since it was
        sealed.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     path = Path(folder, "milder.toml")
    ...     default_curves().replace(cream_ph=9.5, name="milder").save(path)
    ...     load_curves(path).name
    'milder'
    """
    where = shown_path(path)
    curves, changed = _parse(read_whole(path, MAX_BYTES, KIND.name), where)
    usual = default_curves()
    for name in curves:
        check_choice(note("curves.parameter_of", place=KIND.at(where)), name, usual)
    # Last, for what is wrong in itself is told more plainly.
    if changed and not unsealed:
        raise LiftError("curves.changed", place=KIND.at(where))
    if missing := [name for name in usual if name not in curves]:
        return replace(
            curves,
            parameters=tuple(
                curves[name]
                if name in curves
                else replace(usual[name], value=before(name, curves.values))
                for name in usual
            ),
            provenance=(*curves.provenance, (FILLED, ", ".join(missing))),
        )
    return curves


def before(name: str, values: Values) -> float:
    """Value of a parameter that a file lacks, from the values that it has."""
    neutral = BEFORE.get(name, default_curves()[name].value)
    return float(values[neutral]) if isinstance(neutral, str) else neutral
