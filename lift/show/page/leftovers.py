"""Leftovers: what a browser's session kept for itself before there were visits.

They are read for good: when a session that has some lists visits, its scenarios become visits that
are not done, its records visits that were, and its folder no longer holds them.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

from lift.errors import LiftError
from lift.files import parse_toml
from lift.model.mixtures import MixtureClasses
from lift.practice.visit.home import take_over
from lift.practice.visit.visit import Visit
from lift.practice.visit.visit_store import NameTakenError, VisitStore
from lift.practice.visit.visit_table import visit_of

RECORDS, SCENARIOS = "records.sqlite", "scenarios"


def take_leftovers(folder: Path, store: VisitStore, classes: MixtureClasses) -> None:
    """Take over what a session's folder holds; what cannot be read stays where it is."""
    if (folder / RECORDS).is_file():
        take_over(store.database, folder / RECORDS)
    for path in sorted((folder / SCENARIOS).glob("*.toml")):
        try:
            store.add(_visit(path, classes))
        except NameTakenError:
            pass  # taken over before a crash
        except LiftError:
            continue
        path.unlink(missing_ok=True)


def _visit(path: Path, classes: MixtureClasses) -> Visit:
    # The same name each time, so that nothing is taken over twice.
    place = f"{path.parent.parent.name}/{path.name}"
    name = hashlib.sha256(place.encode()).hexdigest()[:12]
    table = parse_toml(path.read_text("utf-8"), "file.scenario")
    return visit_of({**table, "visit": {"name": name}}, classes=classes)
