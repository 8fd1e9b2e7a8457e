"""Numbers that lift reads from the kept files of a folder, for ``numbers.json`` beside them.

Run as ``python tests/kept/kept_numbers.py FOLDER``. Written with what is public, so that it runs
with the release that wrote the files, too.
"""

import json
import shutil
import sys
import tempfile
from pathlib import Path

import numpy as np

from lift import Hair, Mixture, load_curves, load_scenario, preview
from lift.practice.records.record_store import RecordStore
from lift.practice.trial.strand_file import load_strand
from lift.research.swatches.swatch_file import read_swatches

HAIR, POWDER = Hair(6.0, "fine", damp=True), Mixture("powder", 20.0)
MEMBERS = 40


try:
    from lift.practice.goal import Blend

    NATURAL = Blend()
except ImportError:  # 0.1.0 meant that where no goal was given
    NATURAL = None


def preview_numbers(result):
    """Bands at the rinse time, the risk, and the window."""
    window = result.window
    bands = [result.band_at(name) for name in ("level", "lift", "warmth")]
    times = [window.p_best, window.best_minutes, window.opens, window.closes]
    finite = [t if t is not None and np.isfinite(t) else -1.0 for t in times]
    return np.round([*np.ravel(bands), result.p_too_warm, *finite], 6).tolist()


def of_then(path):
    """The default curve set as the release had it."""
    return load_curves(path.with_name("default.toml"))


def of_curves(path):
    """Preview with a curve set."""
    curves = load_curves(path)
    return preview_numbers(preview(HAIR, POWDER, 15.0, NATURAL, curves, members=MEMBERS))


def of_strand(path):
    """Preview with what a strand test showed."""
    mixture = Mixture("cream", 20.0)
    latent = load_strand(path).latent_for(HAIR, of_then(path))
    return preview_numbers(preview(HAIR, mixture, 15.0, NATURAL, of_then(path), latent=latent))


def of_scenario(path):
    """Preview of each treated zone."""
    scenario = load_scenario(path)
    return [
        preview_numbers(
            preview(
                z.hair,
                scenario.mixtures[z.mixture],
                10.0,
                NATURAL,
                of_then(path),
                members=MEMBERS,
            )
        )
        for z in scenario.treated
    ]


def of_records(path):
    """Every cell, and a preview of each record; the file itself is left as it is."""
    try:
        from lift.practice.records.flat import to_row
    except ImportError:  # where 0.1.0 had it
        from lift.practice.records.record import to_row
    with (
        tempfile.TemporaryDirectory() as folder,
        RecordStore(shutil.copy(path, folder)) as store,
    ):
        records = store.records()
    return [
        [
            to_row(r),
            preview_numbers(
                preview(
                    r.hair, r.mixture, r.result.minutes, NATURAL, of_then(path), members=MEMBERS
                )
            ),
        ]
        for r in records
    ]


def of_swatches(path):
    """The columns of numbers."""
    table = read_swatches(path)
    names = ("volume", "minutes", "developer_parts", "fibre_um", "temperature_c", "repeats")
    columns = {name: np.asarray(getattr(table, name)).tolist() for name in names}
    return {**columns, "lab": np.round(table.lab, 6).tolist(), "kind": list(table.kind)}


def numbers_of(path):
    """Numbers of one kept file, by its kind."""
    if path.suffix == ".toml":
        is_curves = "[parameters." in path.read_text("utf-8")
        return of_curves(path) if is_curves else of_scenario(path)
    kinds = {".sqlite": of_records, ".json": of_strand, ".csv": of_swatches, ".cxf": of_swatches}
    return kinds[path.suffix](path)


def kept_files(folder):
    """Kept files of a release, without their numbers."""
    return [p for p in sorted(folder.iterdir()) if p.name != "numbers.json"]


if __name__ == "__main__":
    where = Path(sys.argv[1])
    found = {path.name: numbers_of(path) for path in kept_files(where)}
    (where / "numbers.json").write_text(json.dumps(found, indent=1) + "\n", "utf-8")
