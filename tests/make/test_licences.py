"""The licence list tells every package of every extra, and what those need."""

from email.message import Message
from importlib.metadata import requires
from types import SimpleNamespace

import pytest
from packaging.requirements import Requirement

from lift.make.licences import UNKNOWN, licence, main


def test_every_package_is_told(capsys):
    main()
    told = dict(line.split(maxsplit=1) for line in capsys.readouterr().out.splitlines())
    assert {Requirement(line).name for line in requires("lift")} <= set(told)
    assert "BSD" in told["numpy"]
    assert "contourpy" in told  # by way of matplotlib
    assert "lift" not in told


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ([("License-Expression", "MIT"), ("License", "as in the file")], "MIT"),
        ([("Classifier", "License :: OSI Approved :: BSD License")], "BSD License"),
        ([("License", "Apache-2.0")], "Apache-2.0"),
        ([("License", "Permission is granted\nto whom it may concern")], UNKNOWN),
        ([], UNKNOWN),
    ],
)
def test_licence_is_named_not_quoted(fields, expected):
    metadata = Message()
    for name, value in fields:
        metadata[name] = value
    assert licence(SimpleNamespace(metadata=metadata)) == expected
