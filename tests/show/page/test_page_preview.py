"""The page's numbers are the command line's, to the last digit; what is wrong is told by field."""

import json
import re
import threading
from functools import partial
from urllib.parse import urlencode

import numpy as np
import pytest
from click.testing import CliRunner

from lift.cli import app as command_line
from lift.model.curves import default_curves
from lift.model.natural import natural_path
from lift.show.lock.shades import shade_texts
from lift.show.page.fields import FIELDS

CASES = [
    {
        "level": 7,
        "volume": 10,
        "minutes": 5,
        "fibre": "fine",
        "damp": True,
        "mixture": "base-break",
    },
    {"level": 4, "volume": 30, "minutes": 35, "mixture": "powder", "goal": "9 warmth=12"},
    {
        **{"level": 5.5, "volume": 20, "minutes": 51.5, "lightened_to": 7},
        **{"grey": 30, "resistant": 40, "red": True},
    },
    {
        "level": 3,
        "volume": "10:2,20:1",
        "minutes": 0,
        "carry": "blue=2,violet=1",
        "goal": "50,8,20",
    },
    {"level": 9, "volume": 0, "minutes": 12.3, "parts": 1.5, "ph": 9.1, "temperature": 36.6},
]
FOIL = {"level": 6, "volume": 20, "minutes": 35, "mixture": "powder"}
INTENDED = [
    CASES[0],
    FOIL,
    *({**FOIL, "goal": g} for g in ("lighten", "lighten 8", "lighten pale yellow")),
    *({**FOIL, "goal": g} for g in ("match 54,9,27", "blend 7.6", "tone", "lighten 8 warmth=6")),
]


def from_command_line(words):
    done = CliRunner().invoke(command_line, [*words, "--json"], catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return json.loads(done.output)


def options(case):
    for name, value in case.items():
        option = "--" + name.replace("_", "-")
        yield from [option] if value is True else [option, str(value)]


def query(case):
    return urlencode({k: str(v).lower() if v is True else v for k, v in case.items()})


def joined(case):
    return "-".join(map(str, case.values()))


@pytest.mark.parametrize("case", [*CASES, *INTENDED[1:]], ids=joined)
def test_preview_equals_the_command_line(browser, case):
    expected = from_command_line(["preview", *options(case)])
    assert browser.get(f"/api/preview?{query(case)}").json == expected
    assert browser.get(f"/api/preview?{query(case)}&shown=true").json["answer"] == expected


def test_stages_equal_the_command_line(browser):
    expected = from_command_line(["stages"])
    assert browser.get("/api/stages").json == expected
    assert browser.get("/api/stages?shown=true").json["answer"] == expected


@pytest.mark.parametrize("case", INTENDED, ids=lambda case: str(case.get("goal", "none")))
def test_words_are_those_of_the_terminal(browser, case):
    printed = CliRunner().invoke(command_line, ["preview", *options(case)]).output
    flat = " ".join(printed.split())
    got = browser.get(f"/api/preview?{query(case)}&shown=true").json
    answer, shown = got["answer"], got["shown"]
    told = ["risk_words", "mix", "rinse", "then_tone", "window", "level", "underpigment", "warmth"]
    told += ["risk"] if answer["window"] else ["passes_title"]
    # Where no toner follows, the first lines say it.
    told += ["tone"] if answer["at"]["toner"] else []
    for word in told:
        assert " ".join(shown[word].split()) in flat, word
    cells = [cell for row in shown["passes"] for cell in row]
    for words in (*shown["side"], *shown["notes"], *cells):
        assert " ".join(words.split()) in flat, words
    assert bool(shown["passes"]) == (answer["window"] is None)


def test_locks_are_those_of_the_numbers_beside_natural_hair(browser):
    got = browser.get(f"/api/preview?{query(CASES[0])}&shown=true").json
    answer, shown = got["answer"], got["shown"]
    assert shown["strip"] == shade_texts(answer["curve"]["lab"])
    now, path = answer["at"]["lab"]["median"], natural_path(default_curves())
    levels, natural = path.levels_beside(now)
    before = answer["curve"]["lab"][0]
    assert [lock["shades"] for lock in shown["locks"]] == shade_texts([before, now, *natural])
    words = [lock["words"] for lock in shown["locks"]]
    assert words[0] == "before"
    assert words[1] == f"at {answer['at']['minutes']:g} min"
    assert words[2:] == [f"natural {level:.0f}" for level in levels]
    assert levels[0] <= float(path.level_of_lightness(now[0])) <= levels[1]


@pytest.mark.parametrize("grey", [0, 30])
def test_a_strip_has_natural_levels_for_each_of_its_times(browser, grey):
    case = {**CASES[0], "grey": grey}
    got = browser.get(f"/api/preview?{query(case)}&shown=true").json
    curve, shown = got["answer"]["curve"], got["shown"]
    path = natural_path(default_curves())
    natural = path.lab_of_level(np.arange(1.0, 11.0))
    assert [lock["shades"] for lock in shown["levels"]] == shade_texts(natural)
    assert [lock["words"] for lock in shown["levels"]] == [f"natural {n}" for n in range(1, 11)]
    strip = np.array(curve["pigmented"] if grey else curve["lab"])
    low, high = np.array(shown["between"]).T
    assert (high == low + 1).all()
    inside = np.clip(strip[:, 0], natural[0, 0], natural[-1, 0])
    assert (natural[low - 1, 0] <= inside + 1e-3).all()
    assert (natural[high - 1, 0] >= inside - 1e-3).all()


GREY = {**CASES[0], "minutes": 12, "grey": 30, "resistant": 40}


def test_grey_hair_is_shown_as_both_kinds_of_fibres(browser):
    got = browser.get(f"/api/preview?{query(GREY)}&shown=true").json
    answer, shown = got["answer"], got["shown"]
    fibres, curve = answer["at"]["fibres"], answer["curve"]
    assert shown["fibres"] == fibres["text"]
    assert "white fibres hide warm ones" in shown["fibres"][-1]
    assert shown["strip"] == shade_texts(curve["lab"])
    assert shown["pigmented"] == shade_texts(curve["pigmented"])
    path = natural_path(default_curves())
    _, natural = path.levels_beside(fibres["pigmented"])
    wanted = [answer["at"]["lab"]["median"], fibres["white"], fibres["pigmented"], *natural]
    assert [lock["shades"] for lock in shown["locks"][1:]] == shade_texts(wanted)
    assert [lock["words"] for lock in shown["locks"][2:4]] == ["white fibres", "pigmented fibres"]
    plain = browser.get(f"/api/preview?{query(CASES[0])}&shown=true").json["shown"]
    assert (plain["fibres"], plain["pigmented"]) == ([], None)


def test_every_field_has_a_default_or_may_be_left_out(browser):
    assert browser.get("/api/preview").status == 200


@pytest.mark.parametrize("field", [f.name for f in FIELDS])
def test_an_empty_value_is_no_value(browser, field):
    assert list(browser.get(f"/api/preview?{field}=").errors) == [field]


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"level": "11"}, "level", "natural level 11 is outside 1 to 10; nearest: 10"),
        ({"level": "nan"}, "level", "natural level nan"),
        ({"level": "dark"}, "level", "is not a number"),
        ({"fibre": "thick"}, "fibre", "fine, medium, coarse"),
        ({"fibre": "12"}, "fibre", "nearest: 30 um"),
        ({"damp": "maybe"}, "damp", "false, true"),
        ({"grey": "-1"}, "grey", "0 to 100 %"),
        ({"mixture": "pouder"}, "mixture", "did you mean powder?"),
        ({"volume": "1e9"}, "volume", "0 to 100 vol"),
        ({"carry": "violet"}, "carry", "DYE=DOSE"),
        ({"carry": "mauve=2"}, "carry", "dye 'mauve'"),
        ({"carry": "violet=61"}, "carry", "0 to 60"),
        ({"minutes": "121"}, "minutes", "0 to 120 min"),
        ({"goal": "lighter"}, "goal", "did you mean lighten"),
        ({"goal": "8" * 300}, "goal", "allowed: up to 200"),
        ({"levle": "7"}, "levle", "did you mean level?"),
    ],
)
def test_a_value_that_cannot_be_accepted(browser, typed, field, words):
    reply = browser.get(f"/api/preview?{urlencode(typed)}")
    assert reply.status == 422
    assert list(reply.errors) == [field]
    assert words in reply.errors[field]


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"level": "8", "lightened_to": "5"}, "lightened_to", "darker than the natural level"),
        ({"volume": "90"}, "volume", "12 % H2O2"),
        ({"level": "8", "goal": "5"}, "goal", "darker"),
    ],
)
def test_values_that_do_not_go_together(browser, typed, field, words):
    reply = browser.get(f"/api/preview?{urlencode(typed)}")
    assert reply.status == 409
    assert list(reply.errors) == [field]
    assert words in reply.errors[field]


def test_all_errors_are_told_at_once(browser):
    reply = browser.get("/api/preview?level=0&volume=x&minutes=-1")
    assert list(reply.errors) == ["level", "volume", "minutes"]


def test_the_same_words_as_on_the_command_line(browser):
    done = CliRunner().invoke(
        command_line, ["preview", "--level", "11", "--volume", "10", "--minutes", "5"]
    )
    assert browser.get("/api/preview?level=11").errors["level"] == str(done.exception)


def test_a_field_given_twice_is_refused(browser):
    assert browser.get("/api/preview?level=5&level=6").errors == {"level": "level is given twice"}


def test_fields_are_the_options_of_the_command_line():
    words = {p.name for p in command_line.get_command(None, "preview").params}
    assert {f.name for f in FIELDS} <= words


def test_while_a_number_moves_all_but_advice_is_as_it_is_at_rest(browser):
    """Whatever minute was asked before it: what is the same at every minute is found once."""
    case = {"level": 7, "volume": 10, "mixture": "base-break", "goal": "blend", "fibre": "fine"}
    for minutes in (4, 9.5, 4.5):
        typed = query({**case, "minutes": minutes})
        moving = browser.get(f"/api/preview?{typed}&moving=true").json
        rest = from_command_line(["preview", *options({**case, "minutes": minutes})])
        assert rest["window"]["advice"]
        for key in ("advice", "advice_codes"):
            assert moving["window"].pop(key) == []
            del rest["window"][key]
        assert moving == rest


def test_equal_questions_are_answered_once(tmp_path, open_browser, monkeypatch):
    from lift.show.page import app, previews

    asked = []
    real = previews.answer_preview

    def counted(*asked_for, **more):
        asked.append(threading.current_thread().name)
        return real(*asked_for, **more)

    monkeypatch.setattr(previews, "answer_preview", counted)
    site = open_browser(app.build_app(tmp_path))
    first = site.get("/api/preview?level=7.0")
    second = site.get("/api/preview?level=7&volume=20")
    assert first.body == second.body
    assert len(asked) == 1
    assert asked[0].startswith("answers")


def test_the_page_is_told_how_long_its_question_waited(browser):
    reply = browser.get(f"/api/preview?{query(CASES[0])}&shown=true")
    assert re.fullmatch(r"wait;dur=\d+\.\d", reply.headers["server-timing"])


def test_a_drag_reads_the_level_once_and_checks_it_once(browser, monkeypatch):
    import lift.quantities

    seen = []

    def counted(real, name, value, *rest, **more):
        seen.append((getattr(name, "code", name), value))
        return real(name, value, *rest, **more)

    for check in ("check_number", "check_range"):
        monkeypatch.setattr(
            lift.quantities, check, partial(counted, getattr(lift.quantities, check))
        )
    assert browser.get("/api/preview?level=7.3&shown=true").status == 200
    typed = [value for code, value in seen if code == "quantity.level.label"]
    assert [value for value in typed if str(value) == "7.3"] == ["7.3", 7.3]


def test_what_is_refused_has_a_code_beside_its_sentence(browser):
    (row,) = browser.get("/api/preview?level=11").json["errors"]
    code = row["message_code"]
    assert code["code"] == "range.outside"
    assert (code["value"], code["low"], code["high"]) == (11.0, 1.0, 10.0)
    assert code["nearest"]["value"] == 10.0
    (row,) = browser.get("/api/preview?level=nan").json["errors"]
    assert row["message_code"]["value"] == "nan"


def test_where_words_and_colours_were_they_are_for_one_version_more(browser):
    new = browser.get(f"/api/preview?{query(CASES[0])}&shown=true")
    assert browser.get(f"/api/shown/preview?{query(CASES[0])}").body == new.body
    assert browser.get("/api/preview?shown=maybe").status == 422
    assert "did you mean shown" in browser.get("/api/stages?showm=true").errors["showm"]


def test_everything_that_is_read_on_the_page_comes_from_the_catalogue():
    """In a language that marks each sentence, what is not marked is a name or a unit."""
    from html.parser import HTMLParser

    from lift.model.mixtures import mixture_classes
    from lift.show.page.app import page_text
    from lift.words import speaking
    from lift.words.english import SENTENCES

    class Reader(HTMLParser):
        def __init__(self):
            super().__init__()
            self.found = set()

        def handle_starttag(self, tag, attributes):
            shown = ("aria-label", "placeholder", "title", "alt")
            self.found |= {text for name, text in attributes if name in shown}

        def handle_data(self, text):
            self.found.add(text.strip())

    reader = Reader()
    with speaking(lambda code: f"<{SENTENCES[code]}>"):
        reader.feed(page_text(mixture_classes(), "1"))
    plain = {text for text in reader.found if re.search("[A-Za-z]{2}", text) and "<" not in text}
    assert plain == {"mm", "um", "dC*", "dE00", "Letter"}


@pytest.mark.parametrize(
    ("query", "field", "said"),
    [
        ("level=5&volume=40&minutes=60&mixture=base-break", "minutes", "0 to 15 min; nearest: 15"),
        ("level=5&volume=30&minutes=5&mixture=base-break", "volume", "0 to 20 vol; nearest: 20"),
        ("level=5&volume=20&minutes=30&ph=13", "ph", "8 to 11.5; nearest: 11.5"),
        ("level=5&volume=20&minutes=30&temperature=48", "temperature", "15 to 45 C; nearest: 45"),
    ],
)
def test_outside_the_domain_is_told_at_its_field(browser, query, field, said):
    reply = browser.get(f"/api/preview?{query}")
    assert reply.status == 409
    assert said in reply.errors[field]
    assert list(reply.errors) == [field]


def test_edges_and_over_processing_stand_in_the_answer(browser):
    query = "level=9&lightened_to=10&volume=30&minutes=45&mixture=powder&temperature=45"
    query += "&goal=10&shown=true"
    got = browser.get(f"/api/preview?{query}").json
    told = got["answer"]["cautions"]
    assert told[0].startswith("OVER-PROCESSED")
    assert any(line.startswith("At the edge: temperature 45 C") for line in told)
    assert got["shown"]["risk"] in {"GOAL MISSED", "NOT SURE", "PAST THE GOAL"}
    assert got["shown"]["level"].startswith("10+, past the scale")
    assert got["answer"]["at"]["level"]["median"] > 10.0
