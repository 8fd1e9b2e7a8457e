"""A tuned set says whose work it is, and its references can be read by what reads such."""

import re

import pytest
import yaml

from lift import LiftError, default_curves, load_curves
from lift.research.tuning.citing import Credit, bibtex, cff, credit_of
from lift.research.tuning.curve_files import tuned_curves

CREDIT = Credit(
    "Invented swatches & 100% of their rates",
    ("M\u00fcller, Jane", "Laboratory of nowhere"),
    "CC-BY-4.0",
    "https://doi.org/10.1234/invented_1",
)


@pytest.fixture(scope="module")
def cited(tuning, tmp_path_factory):
    path = tmp_path_factory.mktemp("cited") / "mine.toml"
    tuned_curves(tuning, "mine", CREDIT).save(path)
    return load_curves(path)


def test_whose_it_is_and_what_made_it_is_kept(cited, laboratory):
    assert credit_of(cited) == CREDIT
    told = dict(cited.provenance)
    assert re.fullmatch(r"numpy \d\S*, scipy \d\S*", told["reckoned_with"])
    assert told["seed"] == "1"
    assert told["colours"] == "D65, 10 degrees"
    assert told["data_sha256"] == laboratory.swatches.sha256
    assert "geometry" not in told


def test_bibtex(cited):
    text = bibtex(cited)
    year = dict(cited.provenance)["date"][:4]
    assert text.startswith(f"@misc{{m\u00fcller{year}mine,\n".replace("\u00fc", ""))
    assert r"title = {{Invented swatches \& 100\% of their rates}}," in text
    assert "author = {M\u00fcller, Jane and {Laboratory of nowhere}}," in text
    assert r"doi = {10.1234/invented_1}," in text
    assert cited.seal in text
    assert text.count("{") == text.count("}")


def test_cff(cited):
    """Keys that the format's schema 1.2.0 requires, and forms it asks for (read by hand)."""
    read = yaml.safe_load(cff(cited))
    assert {"cff-version", "message", "title", "authors"} <= {*read}
    assert read["cff-version"] == "1.2.0"
    assert read["authors"] == [
        {"family-names": "M\u00fcller", "given-names": "Jane"},
        {"name": "Laboratory of nowhere"},
    ]
    assert (read["type"], read["license"], read["doi"]) == (
        "dataset",
        "CC-BY-4.0",
        "10.1234/invented_1",
    )
    assert read["date-released"].isoformat() == dict(cited.provenance)["date"]
    assert read["identifiers"][0]["value"] == f"sha256:{cited.seal}"


@pytest.mark.parametrize("refer", [bibtex, cff])
def test_what_nobody_signed_is_not_cited(refer, cited):
    with pytest.raises(LiftError, match="names no title or author"):
        refer(default_curves())
    with pytest.raises(LiftError, match="carries no seal"):
        refer(cited.replace(cream_ph=9.7))


@pytest.mark.parametrize("doi", ["11.1234/a", "10.12/a", "10.1234", "doi"])
def test_what_is_no_doi_is_refused(doi):
    with pytest.raises(LiftError, match="is none"):
        Credit(doi=doi)


@pytest.mark.parametrize("author", ["", " , ", "Doe, J; Roe, R"])
def test_who_is_nobody_is_refused(author):
    with pytest.raises(LiftError, match="is no name"):
        Credit(authors=(author,))
