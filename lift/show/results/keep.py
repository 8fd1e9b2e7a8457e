"""Write a result by the ending of its path."""

from __future__ import annotations

import os
from html import escape
from pathlib import Path
from typing import Any

from lift.answers import MAKERS, to_json
from lift.errors import LiftError, check_choice
from lift.files import write_whole
from lift.show.plots.encoded import opened, tag
from lift.show.results.facts import short
from lift.show.results.html import html_of
from lift.show.results.pictures import picture_of
from lift.show.results.tabular import csv_of

PICTURED = ("png", "svg", "pdf")
ENDINGS = ("csv", "json", "html", *PICTURED)


def save(result: Any, path: str | os.PathLike[str]) -> None:
    """Write a result as its path ends."""
    place = Path(path)
    ending = check_choice("results.ending", place.suffix.lower().removeprefix("."), ENDINGS)
    kind = type(result).__name__
    if ending == "csv":
        csv_of(result, place)
    elif ending == "json":
        if kind not in MAKERS:
            raise LiftError("results.no_json", kind=kind)
        write_whole(place, to_json(result), "file.table")
    elif ending == "html":
        title = tag("title", escape(short(result).splitlines()[0]))
        page = tag("html", opened("meta", charset="utf-8") + title + html_of(result), lang="en")
        write_whole(place, page.encode("utf-8"), "file.table")
    else:
        drawn = picture_of(result)
        if drawn is None:
            raise LiftError("results.no_picture", kind=kind)
        drawn.save(place)
