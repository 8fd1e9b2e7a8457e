"""Public names, loaded on first use, so that ``import lift`` and its parts stay fast."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from types import MappingProxyType
from warnings import warn

TYPE_CHECKING = False  # loading typing to ask it takes longer than all else here
if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from typing import Any


def public(
    module: str,
    homes: Mapping[str, tuple[str, ...]],
    parts: tuple[str, ...] = (),
    former: Mapping[str, str] = MappingProxyType({}),
) -> tuple[list[str], Callable[[str], Any], Callable[[], list[str]]]:
    """Make ``__all__``, ``__getattr__`` and ``__dir__`` of a module.

    A public function is given behind its door (`lift.doors.checked`); within lift it is called
    without.

    Parameters
    ----------
    module : str
        Its name.
    homes : mapping of str to tuple of str
        Public names by the module they live in.
    parts : tuple of str
        Modules in it with names of their own; what was public in `module` before it had them is
        found there, with a warning.
    former : mapping of str to str
        Public names by what they were called before; found so, with a warning.
    """
    where = {name: home for home, names in homes.items() for name in names}
    contents = sorted((*where, *parts))

    @cache
    def behind_door(name: str) -> Any:
        found = getattr(import_module(where[name]), name)
        if isinstance(found, type) or not callable(found):
            return found
        from lift.doors import checked

        door = checked(found)
        # Another process finds it here again.
        door.__module__ = module
        return door

    def load(name: str) -> Any:
        if name in where:
            return behind_door(name)
        if name in parts:
            return import_module(f"{module}.{name}")
        from lift.words import say

        if name in former:
            now = former[name]
            said = say("name.renamed", module=module, name=name, now=now)
            warn(said, DeprecationWarning, stacklevel=2)
            return behind_door(now)
        for part in parts if not name.startswith("_") else ():
            place = import_module(f"{module}.{part}")
            if name in place.__all__:
                said = say("name.moved", module=module, name=name, part=part)
                warn(said, DeprecationWarning, stacklevel=2)
                return getattr(place, name)
        raise AttributeError(say("name.unknown", module=module, name=name))

    return contents, load, lambda: contents
