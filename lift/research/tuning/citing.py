"""A curve set that can be cited: who made it, and its reference in BibTeX and in CFF."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass

from lift.errors import LiftError
from lift.model.curves import CurveSet
from lift.words import say

TITLE, AUTHORS, LICENCE, DOI = "title", "authors", "licence", "doi"
"""Keys of the provenance that tell whose work a set is."""

BETWEEN = "; "
"""Between authors, each of them family name, comma, given names."""

CFF_VERSION = "1.2.0"
"""Citation File Format, https://citation-file-format.github.io (schema 1.2.0)."""

_DOI = re.compile(r"10\.\d{4,9}/\S+")
"""Form of a DOI: Crossref's advice on matching them, from memory."""

_SPDX = re.compile(r"[A-Za-z0-9][A-Za-z0-9.+-]*")
_SPECIAL = {c: "\\" + c for c in "&%$#_{}"} | {
    "~": r"\~{}",
    "^": r"\^{}",
    "\\": r"\textbackslash{}",
}


@dataclass(frozen=True)
class Credit:
    """Whose work a curve set is.

    Parameters
    ----------
    title : str
        What it is called.
    authors : tuple of str
        Each as family name, comma, given names; or one name alone, as of a laboratory.
    licence : str
        Under which it may be used; a short name of SPDX where there is one.
    doi : str
        Under which it was published.

    Raises
    ------
    LiftError
        For a DOI that is none, or an author without a name.

    Examples
    --------
    >>> Credit("Invented swatches", ("Doe, Jane", "Laboratory of nowhere")).entries()[1]
    ('authors', 'Doe, Jane; Laboratory of nowhere')
    """

    title: str = ""
    authors: tuple[str, ...] = ()
    licence: str = ""
    doi: str = ""

    def __post_init__(self) -> None:
        plain = self.doi.removeprefix("https://doi.org/")
        if self.doi and not _DOI.fullmatch(plain):
            raise LiftError("citing.doi", value=self.doi)
        object.__setattr__(self, "doi", plain)
        for author in self.authors:
            if not author.strip(" ,;") or ";" in author:
                raise LiftError("citing.author", value=author)

    def entries(self) -> tuple[tuple[str, str], ...]:
        """What of it is known, as a curve set's provenance keeps it."""
        told = {
            TITLE: self.title,
            AUTHORS: BETWEEN.join(self.authors),
            LICENCE: self.licence,
            DOI: self.doi,
        }
        return tuple((key, " ".join(text.split())) for key, text in told.items() if text)


def credit_of(curves: CurveSet) -> Credit:
    """Whose work a set is, by its provenance."""
    told = dict(curves.provenance)
    authors = told.get(AUTHORS, "")
    return Credit(
        told.get(TITLE, ""),
        tuple(authors.split(BETWEEN)) if authors else (),
        told.get(LICENCE, ""),
        told.get(DOI, ""),
    )


def bibtex(curves: CurveSet) -> str:
    """Reference of a curve set for BibTeX.

    Raises
    ------
    LiftError
        When it says no title or no author, or its file carries no seal.

    Examples
    --------
    >>> import lift
    >>> try:
    ...     bibtex(lift.default_curves())
    ... except lift.LiftError as error:
    ...     print(str(error)[:42])
    curve set default names no title or author
    """
    credit = _citable(curves)
    told = dict(curves.provenance)
    family = credit.authors[0].split(",")[0]
    year = told.get("date", "")[:4]
    key = re.sub(r"[^a-z0-9]+", "", f"{family}{year}{curves.name}".casefold())
    fields = {
        "author": " and ".join(map(_author, credit.authors)),
        "title": "{" + _escaped(credit.title) + "}",
        "year": year,
        "doi": credit.doi,
        "license": _escaped(credit.licence),
        "howpublished": _escaped(say("citing.what", name=curves.name)),
        "note": _escaped(say("citing.hashes", seal=curves.seal, data=told.get("data_sha256", ""))),
    }
    lines = [f"  {name} = {{{text}}}," for name, text in fields.items() if text]
    return "\n".join([f"@misc{{{key},", *lines, "}"]) + "\n"


def cff(curves: CurveSet) -> str:
    """Reference of a curve set as a file of the Citation File Format (YAML).

    Raises
    ------
    LiftError
        See `bibtex`.
    """
    credit = _citable(curves)
    told = dict(curves.provenance)
    lines = [
        f"cff-version: {CFF_VERSION}",
        f"message: {json.dumps(say('citing.message'))}",
        "type: dataset",
        f"title: {_quoted(credit.title)}",
        "authors:",
    ]
    for author in credit.authors:
        family, comma, given = (part.strip() for part in author.partition(","))
        if comma:
            lines += [f"  - family-names: {_quoted(family)}", f"    given-names: {_quoted(given)}"]
        else:
            lines.append(f"  - name: {_quoted(author)}")
    if date := told.get("date", ""):
        lines.append(f"date-released: {date}")
    if credit.doi:
        lines.append(f"doi: {_quoted(credit.doi)}")
    if _SPDX.fullmatch(credit.licence):
        lines.append(f"license: {_quoted(credit.licence)}")
    lines += [
        "identifiers:",
        "  - type: other",
        f"    value: {_quoted(f'sha256:{curves.seal}')}",
        f"    description: {_quoted(say('citing.seal'))}",
        f"abstract: {_quoted(f'{curves.standing}.')}",
    ]
    return "\n".join(lines) + "\n"


def _citable(curves: CurveSet) -> Credit:
    credit = credit_of(curves)
    if not (credit.title and credit.authors):
        raise LiftError("citing.nobody", name=curves.name)
    if not curves.seal:
        raise LiftError("citing.no_seal", name=curves.name)
    return credit


def _author(name: str) -> str:
    return _escaped(name) if "," in name else "{" + _escaped(name) + "}"


def _escaped(text: str) -> str:
    return "".join(_SPECIAL.get(each, each) for each in text)


def _quoted(text: str) -> str:
    # A string of JSON is one of YAML.
    return json.dumps(text, ensure_ascii=False)
