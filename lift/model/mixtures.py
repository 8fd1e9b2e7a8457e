"""Mixture classes: what a mixture is by its chemistry, as data.

A class travels with the mixture made of it, ``Mixture(oil, 20)``, and all classes known travel
with the curve set, `CurveSet.mixtures`, which already goes wherever an answer is computed. So a
class in a researcher's own file reaches command line, page, records and swatches as the shipped
ones do, and no table is kept that one caller could change under another.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from lift.errors import LiftError, check_choice, check_number
from lift.files import DATA, Kind, parse_toml, read_whole
from lift.model.bounds import DOMAIN, Bound, read_bounds
from lift.model.curves import Values, default_curves
from lift.model.developer import Developers
from lift.model.parameter import STATUSES
from lift.optics.dyes import MAX_DOSE, palette
from lift.results import Result
from lift.words import known, note

OXIDANTS = ("peroxide", "persulfate")
"""What oxidises: peroxide alone, or with persulfate."""

INTENTS = ("blend", "lighten")
"""What a class is usually mixed for: to soften regrowth into other hair, or to reach a colour."""

EVERY_CLASS = "domain"
"""Table of the shipped file that holds the domain of every class that does not say otherwise."""

SOLD = "developers"
"""Table that holds the developers that can be bought."""

MAX_BYTES = 1_000_000
KIND = Kind("file.mixtures")
_NAME = re.compile(r"[a-z][a-z0-9-]{0,39}")


@dataclass(frozen=True)
class MixtureClass:
    """One class of mixture.

    Parameters
    ----------
    name : str
        Lower-case letters, digits and hyphens.
    about : str
        What it is, in a few words.
    oxidant : str
        One of `OXIDANTS`.
    developer_parts : float
        Usual parts of developer to one of product [-], 0.1 to 10.
    ph : float or str
        pH on the hair [-], 2 to 13, or the curve set's parameter that holds it.
    boost : float or str
        Factor of the oxidant beside peroxide on the rate [-], 1 to 20, or a parameter.
    persulfate : float or str
        Rate of persulfate by itself per share of powder [1/min], 0 to 5, or a parameter.
    film_ratio : float or str
        How long its film lasts against the curve set's [-], 0.05 to 2, or a parameter.
    tone : tuple of (str, float or str)
        Dose of each dye carried [0.01 absorption per fibre radius], 0 to 60, or a parameter.
    domain : tuple of Bound
        What it is used within, where that is not what every class is used within.
    cautions : tuple of str
        Codes of what is said beside it, ``caution.CODE``.
    intent : str
        One of `INTENTS`: what it means where no goal is named.
    standing, source : str
        What these figures rest on.

    Raises
    ------
    LiftError
        For a value outside its range or a name that is not known.
    """

    name: str
    about: str
    oxidant: str
    developer_parts: float
    ph: float | str
    standing: str
    source: str
    boost: float | str = 1.0
    persulfate: float | str = 0.0
    film_ratio: float | str = 1.0
    tone: tuple[tuple[str, float | str], ...] = ()
    domain: tuple[Bound, ...] = ()
    cautions: tuple[str, ...] = ()
    intent: str = INTENTS[1]

    def __post_init__(self) -> None:
        if not isinstance(self.name, str) or not _NAME.fullmatch(self.name):
            raise LiftError("mixtures.name", name=self.name)
        check_choice("mixtures.oxidant", self.oxidant, OXIDANTS)
        check_choice("mixtures.intent", self.intent, INTENTS)
        check_choice("mixtures.standing", self.standing, STATUSES)
        if not self.source.strip():
            raise LiftError("mixtures.no_source")
        self._store("developer_parts", 0.1, 10.0)
        for name, low, high in (
            ("ph", 2.0, 13.0),
            ("boost", 1.0, 20.0),
            ("persulfate", 0.0, 5.0),
            ("film_ratio", 0.05, 2.0),
        ):
            if not isinstance(getattr(self, name), str):
                self._store(name, low, high)
        for dye, dose in self.tone:
            check_choice("mixture.dye", dye, palette())
            if not isinstance(dose, str):
                check_number(note("mixture.dose_of", dye=dye), dose, 0.0, MAX_DOSE)
        for bound in self.domain:
            for standing in (bound.standing, bound.usual_standing):
                check_choice("mixtures.standing", standing, STATUSES)
        for code in self.cautions:
            if not known(f"caution.{code}"):
                raise LiftError("mixtures.no_caution", code=code)

    def _store(self, name: str, low: float, high: float) -> None:
        label = note(f"quantity.{name}.label")
        object.__setattr__(self, name, check_number(label, getattr(self, name), low, high))

    def bound(self, name: str) -> Bound:
        """What it is used within, by one of `lift.model.bounds.DOMAIN`."""
        check_choice("mixtures.domain", name, DOMAIN)
        own = (bound for bound in self.domain if bound.name == name)
        return next(own, None) or _shipped().domain[name]

    @property
    def parameters(self) -> tuple[str, ...]:
        """Parameters of a curve set that it names."""
        own = (self.ph, self.boost, self.persulfate, self.film_ratio)
        named = (*own, *(dose for _, dose in self.tone))
        return tuple(each for each in named if isinstance(each, str))

    def properties(self, values: Values) -> dict[str, Any]:
        """``ph``, ``boost``, ``tone`` (dose by dye) and ``tone_minutes`` [min] in a curve set."""

        def of(given: float | str) -> Any:
            return values[given] if isinstance(given, str) else given

        return {
            "ph": of(self.ph),
            "boost": of(self.boost),
            "persulfate": of(self.persulfate),
            "film_ratio": of(self.film_ratio),
            "tone": {dye: of(dose) for dye, dose in self.tone},
            "tone_minutes": values["tone_minutes"],
        }


def _sold() -> Developers:
    return mixture_classes().developers


@dataclass(frozen=True, repr=False)
class MixtureClasses(Result, Mapping[str, MixtureClass]):
    """Classes by name; one that is not known is refused with the nearest.

    Parameters
    ----------
    classes : tuple of MixtureClass
        Each name once.
    developers : Developers
        What they are mixed with: the developers that can be bought, default the shipped list.

    Raises
    ------
    LiftError
        For a name that is there twice.

    Examples
    --------
    >>> list(mixture_classes())
    ['cream', 'base-break', 'powder']
    >>> mixture_classes()["powder"].developer_parts
    2.0
    >>> list(mixture_classes().developers)
    [5.0, 10.0, 20.0, 30.0, 40.0]
    """

    classes: tuple[MixtureClass, ...]
    developers: Developers = field(default_factory=_sold)
    _index: Mapping[str, MixtureClass] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        index = {each.name: each for each in self.classes}
        if len(index) != len(self.classes):
            names = [each.name for each in self.classes]
            raise LiftError("mixtures.twice", name=next(n for n in names if names.count(n) > 1))
        object.__setattr__(self, "_index", index)

    def __getitem__(self, name: str) -> MixtureClass:
        return self._index[check_choice("quantity.kind.label", name, self._index)]

    def __contains__(self, name: object) -> bool:
        return name in self._index

    def __iter__(self) -> Iterator[str]:
        return iter(self._index)

    def __len__(self) -> int:
        return len(self._index)


@cache
def mixture_classes() -> MixtureClasses:
    """The shipped classes, read from ``lift/data/mixtures.toml``."""
    return _shipped().known


@dataclass(frozen=True)
class _Shipped:
    """What the shipped file holds: the domain of every class, and the classes."""

    domain: Mapping[str, Bound]
    known: MixtureClasses


@cache
def _shipped() -> _Shipped:
    tables = _tables((DATA / "mixtures.toml").read_text("utf-8"))
    domain = read_bounds(tables.pop(EVERY_CLASS), "", "")
    sold = _developers(tables.pop(SOLD))
    classes = MixtureClasses(_classes(tables), sold)
    return _Shipped({bound.name: bound for bound in domain}, classes)


def load_mixtures(path: str | os.PathLike[str]) -> MixtureClasses:
    """Read classes of one's own; the shipped ones come first.

    Parameters
    ----------
    path : path-like
        TOML with one table a class, named as in ``lift/data/mixtures.toml``. Its table
        ``developers``, where it has one, takes the place of the shipped list of those that can be
        bought.

    Raises
    ------
    LiftError
        When the file cannot be read, or a class is not what `MixtureClass` holds, has the name of
        a shipped one, or names a parameter that no curve set has.

    Examples
    --------
    >>> from pathlib import Path
    >>> from tempfile import TemporaryDirectory
    >>> oil = '''
    ... [oil]
    ... about = "oil lightener"
    ... oxidant = "peroxide"
    ... developer_parts = 1.0
    ... ph = 9.3
    ... standing = "assumed"
    ... source = "made up for this example"
    ... '''
    >>> with TemporaryDirectory() as folder:
    ...     path = Path(folder, "mine.toml")
    ...     _ = path.write_text(oil, "utf-8")
    ...     load_mixtures(path)["oil"].ph
    9.3
    """
    tables = _tables(read_whole(path, MAX_BYTES, KIND.name), path)
    shipped = mixture_classes()
    sold = _developers(tables.pop(SOLD)) if SOLD in tables else shipped.developers
    own = _classes(tables)
    for each in own:
        for name in each.parameters:
            check_choice("mixtures.parameter", name, default_curves())
    return MixtureClasses((*shipped.classes, *own), sold)


def _tables(text: str, where: str | os.PathLike[str] = "") -> dict[str, Any]:
    tables = parse_toml(text, KIND.name, where)
    found: dict[str, Any] = KIND.brought_up(tables, tables.pop("version", None), where)
    return found


def _developers(table: Any) -> Developers:
    try:
        return Developers(**_keys(table, ("volumes", "standing", "source")))
    except LiftError as error:
        raise LiftError("developers.bad", reason=str(error)) from None


def _keys(table: Any, required: tuple[str, ...], optional: tuple[str, ...] = ()) -> dict[str, Any]:
    """A table that has what is required, and nothing that is not known."""
    if not isinstance(table, dict):
        raise LiftError("mixtures.no_table")
    for key in table:
        check_choice("mixtures.key", key, (*required, *optional))
    for key in required:
        if key not in table:
            raise LiftError("mixtures.lacks", key=key)
    return table


def _classes(tables: Mapping[str, Any]) -> tuple[MixtureClass, ...]:
    found = []
    for name, table in tables.items():
        try:
            found.append(_class(name, table))
        except (LiftError, TypeError, ValueError, AttributeError) as error:
            raise LiftError("mixtures.bad", name=name, reason=str(error)) from None
    return tuple(found)


def _class(name: str, table: Any) -> MixtureClass:
    plain = ("boost", "persulfate", "film_ratio", "intent")
    required = ("about", "oxidant", "developer_parts", "ph", "standing", "source")
    given = _keys(table, required, (*plain, "tone", "domain", "cautions"))
    return MixtureClass(
        name=name,
        tone=tuple(given.get("tone", {}).items()),
        domain=read_bounds(given.get("domain", {}), given["standing"], given["source"]),
        cautions=tuple(given.get("cautions", ())),
        **{key: given[key] for key in (*required, *plain) if key in given},
    )
