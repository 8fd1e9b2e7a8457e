"""Templates of documents that stand by themselves."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from lift.words import say

if TYPE_CHECKING:
    from jinja2 import Template


@cache
def template(package: str, name: str) -> Template:
    """Template of a package's folder; it may `say` words, and what is not given is an error."""
    from jinja2 import Environment, StrictUndefined

    environment = Environment(autoescape=True, undefined=StrictUndefined)
    environment.globals["say"] = say
    return environment.from_string((files(package) / name).read_text("utf-8"))
