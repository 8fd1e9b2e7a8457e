"""Everything people see, in a language that is none: what is still English is wired in.

A language is a function from a code to its template. This one puts a mark on every letter of the
catalogue and leaves fields alone, so that a word of plain letters did not come from there.
"""

import hashlib
import json
import re
import string
import tomllib
from html import unescape
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text

from lift import teach
from lift.cli import COMMANDS, main
from lift.cli.curves import FORMS
from lift.make.photograph import Scene, as_jpeg, photograph, some_hair
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.optics.dyes import palette
from lift.photo.editions import EDITIONS
from lift.practice.goal import INTENTS
from lift.practice.preview import preview
from lift.practice.records.record import ZONES
from lift.practice.scenario.scenario_file import load_scenario
from lift.practice.service.plan import plan
from lift.practice.toning.carried import carried_and_outrun, tone_over_level
from lift.practice.toning.tone_report import tone_report, underpigment_state
from lift.practice.trial.observation import READINGS, Observation
from lift.practice.trial.strand_test import strand_test
from lift.reference import load
from lift.research.evidence.sensitivity import reading_sensitivity, strand_spread
from lift.research.planning.series import lightening_series
from lift.research.swatches.columns import CHOICES, COLUMNS
from lift.show.card.html import PAPERS, card_html
from lift.show.lesson import live, tables
from lift.show.plots import (
    bayes_plots,
    circle_plots,
    curves_plots,
    figure,
    lightening_plots,
    plan_plots,
    preview_plots,
    strand_plots,
    teach_plots,
    tone_plots,
    trust_plots,
)
from lift.words import english, say, speaking
from lift.words.english import SENTENCES

CURVES = default_curves()
HAIR, MIXTURE = Hair(level=7.0, fibre_um="fine", damp=True), Mixture("base-break", 10.0)
MARK = "«"
SHARED = Path("shared").resolve()
FIELD = re.compile(r"(\{[^{}]*\}|\[bold\]|\[/\])")
MARKED = str.maketrans(string.ascii_letters, "åƀçđéƒǧĥîĵķłḿñöþɋŕšŧûṽŵẋýžÅɃÇĐÉƑǦĤÎĴĶŁḾÑÖÞɊŔŠŦÛṼŴẊÝŽ")
CHOICE = re.compile(r"(?<=:if |unt )[^|{}]*|(?<=[|])[^|{}]*")
"""Words of a field's own: ``{flag:if yes|no}``."""

GIVEN = re.compile(r"CIELAB|LED-\w+|INVENTED|\b(nm|min|um|vol|mol|level|levels|degrees|radius)\b")
"""What is said in every language: names of standards, of lamps, and units of parameters."""


def babble(code):
    """Template of a code in marks, every letter of its own words with one more."""
    return f"{MARK}{''.join(map(_changed, FIELD.split(SENTENCES[code])))}»"


def _changed(part):
    if not FIELD.fullmatch(part):
        return part.translate(MARKED)
    return CHOICE.sub(lambda found: found[0].translate(MARKED), part)


def left(text, *names):
    """English words in a text, but for names that a user or a file gave."""
    for name in sorted(names, key=len, reverse=True):
        text = text.replace(name, "")
    return re.findall(r"[A-Za-z][a-z]{2,}", GIVEN.sub("", text))


def words(made):
    made = made if isinstance(made, Figure) else made.get_figure(root=True)
    return [figure.alt_text(made), *(t.get_text() for t in made.findobj(Text) if t.get_visible())]


@pytest.fixture(scope="module")
def visit():
    return plan(load_scenario("shared/blonde_refresh.toml"), members=10)


@pytest.fixture(scope="module")
def report():
    return tone_report(underpigment_state(8, CURVES))


@pytest.fixture(scope="module")
def looked_at():
    return strand_test(HAIR, MIXTURE, [Observation(12.0, level=7.9)], rinse_minutes=6.0)


NAMES = tuple(p.name for p in CURVES.parameters)
PICTURES = {
    "melanin": lambda _: teach_plots.plot_melanin(),
    "levels": lambda _: teach_plots.plot_levels(),
    "reflectance": lambda _: teach_plots.plot_reflectance(),
    "ladder": lambda _: teach_plots.plot_ladder(),
    "answers": lambda _: teach_plots.plot_answers(),
    "dye bands": lambda _: teach_plots.plot_dye_bands(),
    "toned light": lambda get: teach_plots.plot_toned_light(get("report")),
    "remaining": lambda _: lightening_plots.plot_remaining(HAIR, MIXTURE),
    "departure": lambda _: lightening_plots.plot_departure(HAIR, MIXTURE),
    "causes": lambda _: lightening_plots.plot_causes(HAIR, MIXTURE),
    "phases": lambda _: lightening_plots.plot_phases(HAIR, MIXTURE),
    "one curve": lambda _: lightening_plots.plot_one_curve(HAIR, [MIXTURE], (5.0, 10.0)),
    "cases": lambda _: lightening_plots.plot_cases([("", HAIR, MIXTURE)]),
    "preview": lambda _: preview_plots.plot_preview(preview(HAIR, MIXTURE, 5.0)),
    "plan": lambda get: plan_plots.plot_plan(get("visit")),
    "strand test": lambda get: strand_plots.plot_strand_test(get("looked_at")),
    "tone": lambda get: circle_plots.plot_tone(get("report")),
    "two circles": lambda get: circle_plots.plot_two_circles(get("report")),
    "carried": lambda _: tone_plots.plot_carried(carried_and_outrun(HAIR, MIXTURE)),
    "depth": lambda _: tone_plots.plot_depth(tone_over_level([5.0, 8.0])),
    "standing": lambda _: trust_plots.plot_standing(),
    "tornado": lambda _: trust_plots.plot_tornado(reading_sensitivity(HAIR, MIXTURE)),
    "spread": lambda _: trust_plots.plot_spread(strand_spread(HAIR, MIXTURE), 6.0),
    "curves": lambda _: curves_plots.plot_curves(CURVES),
    "handout": lambda _: teach.plot_handout(),
}


def names_in(visit):
    scenario = visit.scenario
    return (
        *(zone.name for zone in scenario.zones),
        *(zone.part for zone in scenario.zones),
        *scenario.mixtures,
        scenario.title,
        scenario.about,
    )


@pytest.mark.parametrize("name", PICTURES)
def test_every_word_of_a_picture_is_said(name, request):
    given = names_in(request.getfixturevalue("visit")) if name == "plan" else (*NAMES, "default")
    with speaking(babble):
        found = words(PICTURES[name](request.getfixturevalue))
    assert [w for text in found for w in left(" ".join(text.split()), *given)] == []


def test_every_word_of_a_table_is_said(visit, looked_at):
    with speaking(babble):
        shown = [
            tables.preview_table(preview(HAIR, MIXTURE, 5.0)).text,
            tables.scenario_table(visit.scenario).text,
            tables.plan_table(visit).text,
            *tables.change_lines(visit),
            tables.moved_table(looked_at).text,
            teach.exercise(teach.class_exercise()).text,
            live.moment(HAIR, MIXTURE, 5.0).words,
            teach.animate_lightening(HAIR, MIXTURE, 5.0, frames=2).text,
        ]
    assert [w for text in shown for w in left(text, *names_in(visit))] == []


def test_every_word_of_the_sliders_is_said():
    pytest.importorskip("ipywidgets")
    with speaking(babble):
        explorer = teach.Explorer(HAIR, MIXTURE, 5.0)
        shown = explorer._repr_mimebundle_()
    said = [explorer.controls[n].description for n in explorer.controls if n != "play"]
    said += [label for label, _ in explorer.controls["mixture"].options]
    said.append(re.sub(r"<[^>]*>", " ", shown["text/html"]))
    assert [w for text in said for w in left(text)] == []


def test_the_language_that_is_none_changes_words_and_keeps_numbers():
    with speaking(babble):
        said = say("plot.warmth.from", end=np.float64(5.0), goal="8")
        assert re.findall(r"[A-Za-z0-9.]+", said) == ["8", "5.0"]
    assert left("too warm", "warm") == ["too"]


# The command line.

KINDS = tuple(CURVES.mixtures)
PARTS = {
    "visit": ("list", "show", "export", "import", "delete"),
    "record": ("add", "list", "export", "delete", "learn"),
    "swatches": ("plan", "template", "make", "check", "columns"),
    "curves": ("show", "compare", "cite"),
    "page": ("code", "devices", "unpair"),
}
TYPED = (
    *(
        *KINDS,
        *INTENTS,
        *palette(),
        *ZONES,
        *COMMANDS,
        *EDITIONS,
        *READINGS,
        *(name for part in PARTS.values() for name in part),
    ),
    *("fine", "medium", "coarse", "permanent", "direct", "warmth", "png", "svg", "pdf", *FORMS),
)
"""Codes that are typed, which help and refusals therefore show as they are."""

OPTION = re.compile(r"--[a-z][a-z-]+")
BASE_BREAK = ["--level", "7", "--fibre", "fine", "--volume", "10", "--mixture", "base-break"]
POWDER = ["--level", "5", "--volume", "20", "--mixture", "powder"]
ADD = ["record", "add", *POWDER, "--seen", "8.5", "--invented", "--client", "aa1"]


@pytest.fixture
def run(monkeypatch, capsys, tmp_path):
    """Run a command in that language: the words of it that are English, and its exit code."""
    drawn = []
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("COLUMNS", "1000")
    for place in (figure, bayes_plots):
        monkeypatch.setattr(place, "save_figure", lambda made, _: drawn.extend(words(made)))

    def call(*typed, given=()):
        monkeypatch.setattr("sys.argv", ["lift", *map(str, typed)])
        with speaking(babble), pytest.raises(SystemExit) as stop:
            main()
        printed = capsys.readouterr()
        text = flat(" ".join((printed.out, printed.err, *drawn)))
        drawn.clear()
        assert MARK in text
        own = (str(tmp_path), "page/visits.sqlite", "records.sqlite", "lift", "default")
        return left(OPTION.sub("", text), *map(str, typed), *own, *given), stop.value.code

    return call


@pytest.mark.parametrize(
    "typed",
    [
        [],
        *([name] for name in COMMANDS),
        *([name, part] for name, parts in PARTS.items() for part in parts),
    ],
    ids=lambda typed: " ".join(typed) or "lift",
)
def test_every_word_of_help_is_said(run, typed):
    assert run(*typed, "--help", given=TYPED) == ([], 0)


def test_every_word_of_the_version_is_said(run):
    assert run("--version") == ([], 0)


@pytest.mark.parametrize(
    "typed",
    [
        ["preview", *BASE_BREAK, "--minutes", "5", "--goal", "8", "--plot", "made.svg"],
        ["preview", *POWDER, "--minutes", "58", "--lightened-to", "7", "--carry", "violet=2"],
        ["tone", "--lab", "45,17,35", "--plot", "made.svg", "--circles", "other.svg"],
        ["tone", "--level", "8", "--goal", "9", "--kind", "direct"],
        ["tone", "--natural", "7", "--volume", "10", "--minutes", "20", "--carry", "violet=2"],
        ["stages"],
        ["strand", *BASE_BREAK],
        ["handout", "-o", "made.svg"],
        ["swatches", "make", "-o", "made.csv", "--swatches", "2"],
        ["curves", "compare", "default", "default"],
    ],
    ids=lambda typed: " ".join(typed[:3]),
)
def test_every_word_of_an_answer_is_said(run, typed):
    assert run(*typed) == ([], 0)


def test_every_word_of_a_measurement_is_said(run):
    taken = photograph(Scene(some_hair(2)))
    Path("made.jpg").write_bytes(as_jpeg(taken.pixels, 30))
    chart, *hair = (
        " ".join("{:g},{:g}".format(*pair) for pair in points)
        for points in (taken.chart.round(1), *taken.hair)
    )
    asked = ["measure", "made.jpg", "--chart", chart, "--hair", hair[0]]
    assert run(*asked, given=EDITIONS) == ([], 0)
    assert run(*asked, "--other", hair[1], "--plot", "made.svg", given=EDITIONS) == ([], 0)
    assert run("measure", "made.jpg", "--chart", chart, "--hair", chart) == ([], 2)


@pytest.mark.parametrize("name", ["blonde_refresh", "grey_blending"])
def test_every_word_of_a_plan_is_said(run, name):
    file = SHARED / f"{name}.toml"
    given = names_in(SimpleNamespace(scenario=load_scenario(file)))
    assert run("plan", file, given=given) == ([], 0)


def test_every_word_of_records_is_said(run):
    assert run(*ADD, "--zone", "regrowth", "--minutes", "25") == ([], 0)
    assert run(*ADD, "--minutes", "30") == ([], 0)
    assert run(*ADD, "--minutes", "20") == ([], 0)
    assert run("record", "list") == ([], 0)
    assert run("record", "learn", "--invented", "--plot", "made.svg", given=["own"]) == ([], 0)
    assert run("record", "export", "made.csv") == ([], 0)
    assert run("record", "delete", "--client", "aa1") == ([], 2)
    assert run("record", "delete", "--number", "1") == ([], 0)
    assert run("record", "delete", "--number", "9") == ([], 2)


def test_every_word_of_visits_is_said(run):
    file = SHARED / "blonde_refresh.toml"
    scenario = load_scenario(file)
    given = [*names_in(SimpleNamespace(scenario=scenario)), scenario.title]
    name = "made-1"
    table = {**tomllib.loads(file.read_text("utf-8")), "visit": {"name": name, "client": "aa1"}}
    Path("made.json").write_text(json.dumps(table), "utf-8")
    assert run("visit", "import", "made.json", given=[name, "aa1"]) == ([], 0)
    assert run("visit", "import", "made.json", given=[name, "aa1"]) == ([], 2)
    assert run("visit", "list", given=[*given, name, "aa1"]) == ([], 0)
    assert run("visit", "show", name, given=[*given, "aa1"]) == ([], 0)
    assert run("visit", "export", name, "made.toml") == ([], 0)
    assert run("visit", "delete", "--client", "aa1") == ([], 2)
    assert run("visit", "delete", name) == ([], 0)


def test_every_word_about_a_curve_set_is_said(run):
    sources = [text for p in CURVES.parameters for text in (p.name, p.source, p.unit)]
    made = [text for key, text in CURVES.provenance for text in (key.replace("_", " "), text)]
    assert run("curves", "show", given=[*map(flat, (*sources, *made))]) == ([], 0)


def test_every_word_about_columns_is_said(run):
    given = [c.name for c in COLUMNS] + [
        "fraction",
        "degree",
        *KINDS,
        "fine",
        "medium",
        "coarse",
        *CHOICES["uv"],
    ]
    assert run("swatches", "columns", given=given) == ([], 0)


def test_every_word_of_a_series_is_said(run):
    series = lightening_series()
    numbers = [(each.name, each.unit) for each in series.narrowed if each.name in CURVES]
    named = [*series.columns, *series.freed, *series.names]
    given = [*named, *(text for pair in numbers for text in pair)]
    assert run("swatches", "plan", given=given) == ([], 0)
    assert run("swatches", "plan", "-o", "made.csv", given=given) == ([], 0)
    assert run("swatches", "plan", "-o", "made.csv", given=given) == ([], 2)


def test_every_word_of_the_evidence_is_said(run):
    sources = [load(name).source for name in ("indo_dyes_corbett1973", "wash_fade")]
    samples = load("hair_colour_measured").words("sample")
    rules = load("trade_lifts").words("row")
    tables = ("indo_dyes_corbett1973", "hair_dye_maxima")
    dyes = [dye for name in tables for dye in load(name).words("dye")]
    given = [*map(flat, sources), *samples, *rules, *dyes]
    assert run("evidence", given=given)[0] == []
    CURVES.replace(surface_reflectance=0.05).save("shining.toml")
    assert run("evidence", "--curves", "shining.toml", given=given) == ([], 1)


def flat(text):
    return " ".join(text.split())


@pytest.mark.parametrize(
    "typed",
    [
        ["preview"],
        ["preview", "--levl", "3"],
        ["preview", "--level"],
        ["preview", "--damp=3"],
        ["preview", *POWDER, "--minutes", "nan"],
        ["preview", *POWDER, "--minutes", "200"],
        ["preview", *BASE_BREAK, "--minutes", "20"],
        ["preview", *POWDER, "--minutes", "30", "--goal", "blond"],
        ["preview", *POWDER, "--minutes", "30", "--plot", "made.gif"],
        ["preview", *POWDER, "--minutes", "30", "--carry", "purpel=1"],
        ["preview", "--level", "3", "--volume", "90", "--minutes", "30"],
        ["tone"],
        ["tone", "--lab", "45,x,35"],
        ["strand", *BASE_BREAK, "--seen", "5"],
        ["plan"],
        ["plan", "one.toml", "other.toml"],
        ["record", "list", "other"],
        ["record", "lst"],
        ["tune"],
        ["prevew"],
    ],
    ids=" ".join,
)
def test_every_word_of_a_refusal_is_said(run, typed):
    assert run(*typed, given=(*TYPED, "purpel")) == ([], 2)


def test_what_the_system_says_stays(run):
    found, code = run("plan", "missing.toml")
    assert (" ".join(found), code) == ("such file directory", 2)


# Pages.

TAGS = re.compile(r"(?s)<(script|style|metadata)\b.*?</\1>|<!--.*?-->|<[^>]*>")
HEARD = re.compile(r'\s(?:title|alt|aria-label|aria-description|placeholder)="([^"]*)"')
TEMPLATE = re.compile(r'(?s)<template id="words">(.*?)</template>')
CONTROLS = re.compile(r'(?s)<template id="controls">(.*?)</template>')


def read(page):
    """What is read or heard of a page."""
    heard = HEARD.findall(page)
    # What scripts are told are keys and numbers; the words in it are looked at by themselves.
    shown = CONTROLS.sub("", TEMPLATE.sub("", page))
    return flat(unescape(" ".join((TAGS.sub(" ", shown), *heard))))


def sentences(answer):
    """What people see of an answer: whatever has a code beside it, and what the page shows."""
    if isinstance(answer, list):
        for each in answer:
            yield from sentences(each)
    elif isinstance(answer, dict):
        for key, value in answer.items():
            if f"{key}_code" in answer or f"{key}_codes" in answer or key in PROSE:
                yield from [value] if isinstance(value, str) else filter(None, value or ())
            elif not key.endswith(("_code", "_codes")):
                yield from sentences(value)


PROSE = {"summary", "description"}
KEYS = ("zones", "mixtures", "base_break", "volume")
"""Keys of a scenario file, as a place in it is told."""


@pytest.fixture
def browser(monkeypatch, tmp_path):
    """Ask the page, whose answers are made in other threads, in that language."""
    pytest.importorskip("httpx")
    client = pytest.importorskip("starlette.testclient")
    from lift.show.page.app import build_app

    marked = {code: babble(code) for code in SENTENCES}
    monkeypatch.setattr(english, "SENTENCES", marked)
    with client.TestClient(build_app(tmp_path), "http://127.0.0.1:8181") as made:
        made.headers["origin"] = "http://127.0.0.1:8181"
        yield made


def test_every_word_of_the_page_is_said(browser):
    page = browser.get("/").text
    # Its version is a digest, whose letters may look like a word; papers have names.
    assert left(read(page), browser.get("/shell.json").json()["version"], *PAPERS) == []
    assert left(read(browser.get("/pair").text)) == []
    said = json.loads(unescape(TEMPLATE.search(page)[1]))
    assert len(said) > 50
    assert [w for text in said.values() for w in left(re.sub(r"\{[^{}]*\}", "", text))] == []
    told = json.loads(unescape(CONTROLS.search(page)[1]))
    labels = [each["label"] for group in ("placement", "salon") for each in told[group]]
    labels += [*told["dyes"].values(), *(kind["words"] for kind in told["kinds"].values())]
    assert len(labels) > 10
    assert [w for text in labels for w in left(text)] == []


def test_every_word_of_the_pages_answers_is_said(browser):
    table = tomllib.loads((SHARED / "darker_base.toml").read_text("utf-8"))
    visit = {**table, "visit": {"name": "k7f-m3q"}}
    wrong = {**visit, "mixtures": {"base_break": {"kind": "base-break", "volume": 920}}}
    given = names_in(SimpleNamespace(scenario=load_scenario(SHARED / "darker_base.toml")))
    preview_of = "level=7&volume=10&minutes=5&mixture=base-break&goal=8&shown=true"
    typed = ("zzz", "powdr", "nothing")
    names = (*given, *TYPED, *KEYS, *typed, "lengths", "default", "lift", "JSON", "json")
    for reply in (
        browser.get(f"/api/preview?{preview_of}"),
        browser.get("/api/stages?shown=true"),
        browser.post("/api/plan?shown=true", json={"visit": visit}),
        browser.get("/api/preview?level=70&volume=x&goal=zzz&minutes=zzz&mixture=powdr"),
        browser.get("/api/nothing"),
        browser.delete("/api/preview"),
        browser.post("/api/plan", json={"visit": wrong}),
        browser.get("/api/visits/nothing"),
        browser.get("/openapi.json"),
    ):
        answer = reply.json()
        # Types are described by their docstrings, for those who write programs.
        answer.pop("components", None)
        said = list(sentences(answer))
        assert said, reply.url
        assert [w for each in said for w in left(each, *names)] == [], reply.url


def test_every_word_of_a_card_is_said(visit):
    with speaking(babble):
        card = card_html(visit)
    assert left(read(card), *names_in(visit), "default", "lift") == []


# Research.


def plain(path):
    """What is read of a page whose pictures are drawn in it, too."""
    return read(path.read_text("utf-8"))


@pytest.mark.slow
def test_every_word_of_research_is_said(run, tmp_path, monkeypatch):
    from lift.research.posterior import sbc

    axes = (name.replace("_", " ") for name in NAMES)
    given = (*NAMES, *axes, "invented", "own", "L/(mol min)")
    assert run("swatches", "make", "-o", "lab.csv", "--swatches", "4") == ([], 0)
    digest = hashlib.sha256((tmp_path / "lab.csv").read_bytes()).hexdigest()
    assert run("swatches", "check", "lab.csv", given=[digest]) == ([], 0)
    bad = (tmp_path / "lab.csv").read_text("utf-8").replace(",cream,10,", ",creme,x,")
    (tmp_path / "bad.csv").write_text(bad, "utf-8")
    assert run("swatches", "check", "bad.csv", given=["creme", *TYPED, "mixture", "volume"]) == (
        [],
        2,
    )
    tune = ["tune", "lab.csv", "--starts", "1", "-o", "own.toml", "--html", "own.html"]
    drawn = ["--plot", "a.svg", "--bands", "b.svg", "--draws", "c.svg"]
    assert run(*tune, *drawn, given=given) == ([], 0)
    assert left(plain(tmp_path / "own.html"), *tune, *given, digest, "lift") == []
    asked = ["--level", "5", "--volume", "20", "--minutes", "30", "--plot", "d.svg"]
    assert run("next", "lab.csv", "--curves", "own.toml", *asked, given=given) == ([], 0)
    compared = ["default", "own.toml", "--plot", "e.svg"]
    assert run("curves", "compare", *compared, given=given) == ([], 0)
    free = ["--starts", "1", "--free", "lightening_rate", "--plot", "f.svg"]
    assert run("structures", "lab.csv", *free, given=given) == ([], 0)
    ranks = np.random.default_rng(2).integers(0, 100, (400, 3))
    names = ("lightening_rate", "predicted_L", "first_level")
    inside = (ranks >= 5) & (ranks <= 94)
    made = sbc.RankCheck(names, ranks, inside, np.full(400, 300.0), 7)
    monkeypatch.setattr(sbc, "check_calibration", lambda *a, **k: made)
    assert run("calibration", "--plot", "g.svg", given=given) == ([], 0)
