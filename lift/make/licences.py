"""Licences of what lift needs: ``python -m lift.make.licences``, read from what is installed.

A package that lift needs only by way of another is told, too. What is not installed is told as
such, for its licence is not known here.
"""

from __future__ import annotations

import re
from importlib.metadata import Distribution, PackageNotFoundError, distribution

UNKNOWN = "none stated"
WORDY = 60
"""A field longer than this [characters] is the whole text of a licence, not its name."""


def needed(root: str = "lift") -> dict[str, Distribution | None]:
    """Every package that `root` needs, its extras' and theirs; None where it is not installed.

    Of the extras of others only those are followed that somebody asks for.
    """
    from packaging.requirements import Requirement

    found: dict[str, Distribution | None] = {}
    seen: set[tuple[str, str]] = set()
    own = distribution(root).metadata.get_all("Provides-Extra") or []
    waiting = [(root, extra) for extra in ("", *own)]
    while waiting:
        name, extra = waiting.pop()
        if (name, extra) in seen:
            continue
        seen.add((name, extra))
        try:
            package = found[name] = distribution(name)
        except PackageNotFoundError:
            found[name] = None
            continue
        for asked in map(Requirement, package.requires or []):
            if asked.marker is None or asked.marker.evaluate({"extra": extra}):
                plain = re.sub(r"[-_.]+", "-", asked.name).lower()
                waiting += [(plain, each) for each in ("", *asked.extras)]
    found.pop(root)
    return dict(sorted(found.items()))


def licence(package: Distribution) -> str:
    """Name of a package's licence, as its own description has it."""
    told = package.metadata
    classes = [
        each.rsplit(" :: ", 1)[-1]
        for each in told.get_all("Classifier") or []
        if each.startswith("License ::") and each != "License :: OSI Approved"
    ]
    short, spdx = (
        (told.get_all(field) or [""])[0].strip() for field in ("License", "License-Expression")
    )
    if "\n" in short or len(short) > WORDY:
        short = ""
    return spdx or "; ".join(classes) or short or UNKNOWN


def main() -> None:
    """Print name, version and licence of each."""
    for name, package in needed().items():
        if package is None:
            print(f"{name:36s} not installed")
        else:
            print(f"{name:36s} {package.version:14s} {licence(package)}")


if __name__ == "__main__":
    main()
