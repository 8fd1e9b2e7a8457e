"""The description holds for whatever is asked: schemathesis makes it up, good and bad."""

import re

import pytest
from hypothesis import HealthCheck, given, settings
from starlette.routing import Route

from lift import default_curves, load_mixtures
from lift.model.mixtures import mixture_classes
from lift.show.page import openapi
from lift.show.page.app import build_app

schemathesis = pytest.importorskip("schemathesis")
checks = pytest.importorskip("schemathesis.specs.openapi.checks")

SCHEMA = schemathesis.openapi.from_dict(openapi.description())
OPERATIONS = [
    (path, method)
    for path, item in openapi.description()["paths"].items()
    for method in item
    if method != "parameters"
]
CHECKS = [
    schemathesis.checks.not_a_server_error,
    checks.status_code_conformance,
    checks.content_type_conformance,
    checks.response_schema_conformance,
    checks.negative_data_rejection,
]
"""Left out: that all data of the right type are accepted. A text can be typed where only a few
texts mean something (a scenario, a goal), which no schema tells."""

GOOD, BAD = schemathesis.GenerationMode.POSITIVE, schemathesis.GenerationMode.NEGATIVE


def takes_anything(path, method):
    item = openapi.description()["paths"][path]
    return bool({"parameters", "requestBody"} & {*item, *item[method]})


CASES = [(p, m, GOOD) for p, m in OPERATIONS]
CASES += [(p, m, BAD) for p, m in OPERATIONS if takes_anything(p, m)]


@pytest.mark.slow
@pytest.mark.parametrize(("path", "method", "mode"), CASES, ids=str)
def test_answers_are_as_described(served, path, method, mode):
    operation = SCHEMA[path][method.upper()]
    headers = {"Origin": served.url}

    @given(case=operation.as_strategy(generation_mode=mode))
    @settings(max_examples=15, suppress_health_check=list(HealthCheck))
    def ask(case):
        response = case.call(base_url=served.url, headers=headers)
        case.validate_response(response, checks=CHECKS, headers=headers)

    ask()


def test_every_route_is_described(browser):
    described = {(path, method.upper()) for path, method in OPERATIONS}
    served = {
        (route.path, method)
        for route in browser.app._app.app.routes
        if isinstance(route, Route) and re.match("/api/(?!shown/)", route.path)
        for method in route.methods - {"HEAD"}
    }
    # The spreadsheet is the one answer that is no JSON, and the page links to it.
    assert served - described == {("/api/records.csv", "GET")}
    assert described <= served


def test_the_description_is_served(browser):
    assert browser.get("/openapi.json").json == openapi.description()


OIL = """
[oil]
about = "made up for a test"
oxidant = "peroxide"
developer_parts = 1.0
ph = 9.3
standing = "assumed"
source = "made up for a test"
"""


@pytest.mark.parametrize("own", [[], ["oil"]])
def test_classes_of_mixture_in_force_are_described(tmp_path, open_browser, own):
    (tmp_path / "own.toml").write_text(OIL if own else "", "utf-8")
    curves = default_curves().with_mixtures(load_mixtures(tmp_path / "own.toml"))
    site = open_browser(build_app(tmp_path / "data", curves=curves))
    asked = site.get("/openapi.json").json["paths"]["/api/preview"]["get"]["parameters"]
    (kind,) = [parameter for parameter in asked if parameter["name"] == "mixture"]
    assert kind["schema"]["enum"] == sorted([*mixture_classes(), *own])
    assert all(name in kind["description"] for name in kind["schema"]["enum"])
    for name in kind["schema"]["enum"]:
        reply = site.get(f"/api/preview?volume=10&minutes=5&mixture={name}")
        assert reply.json["inputs"]["mixture"] == name
