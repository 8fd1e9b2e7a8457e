"""Everything people see, in a language that is none: what is still English is wired in.

A language is a function from a code to its template. This one puts a mark on every letter of the
catalogue and leaves fields alone, so that a word of plain letters did not come from there.
"""

import re
import string
from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text

from lift import teach
from lift.model.curves import default_curves
from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.preview import preview
from lift.practice.service.plan import plan
from lift.practice.service.scenario_file import load_scenario
from lift.practice.toning.carried import carried_and_outrun, tone_over_level
from lift.practice.toning.tone_report import tone_report, underpigment_state
from lift.practice.trial.observation import Observation
from lift.practice.trial.strand_test import strand_test
from lift.research.evidence.sensitivity import reading_sensitivity, strand_spread
from lift.show.lesson import live, tables
from lift.show.plots import (
    circle_plots,
    curves_plots,
    lightening_plots,
    plan_plots,
    preview_plots,
    strand_plots,
    teach_plots,
    tone_plots,
    trust_plots,
)
from lift.show.plots.figure import alt_text
from lift.words import say, speaking
from lift.words.english import SENTENCES

CURVES = default_curves()
HAIR, MIXTURE = Hair(level=7.0, fibre_um="fine", damp=True), Mixture("base-break", 10.0)
SHARED = Path("shared").resolve()
FIELD = re.compile(r"(\{[^{}]*\}|\[bold\]|\[/\])")
MARKED = str.maketrans(string.ascii_letters, "åƀçđéƒǧĥîĵķłḿñöþɋŕšŧûṽŵẋýžÅɃÇĐÉƑǦĤÎĴĶŁḾÑÖÞɊŔŠŦÛṼŴẊÝŽ")
CHOICE = re.compile(r"(?<=:if |unt )[^|{}]*|(?<=[|])[^|{}]*")
"""Words of a field's own: ``{flag:if yes|no}``."""

GIVEN = re.compile(r"CIELAB|LED-\w+|INVENTED|\b(nm|min|um|vol|mol|level|levels|degrees|radius)\b")
"""What is said in every language: names of standards, of lamps, and units of parameters."""


def babble(code):
    """Template of a code in marks, every letter of its own words with one more."""
    return f"«{''.join(map(_changed, FIELD.split(SENTENCES[code])))}»"


def _changed(part):
    if not FIELD.fullmatch(part):
        return part.translate(MARKED)
    return CHOICE.sub(lambda found: found[0].translate(MARKED), part)


def left(text, *names):
    """English words in a text, but for names that a user or a file gave."""
    for name in sorted(names, key=len, reverse=True):
        text = text.replace(name, "")
    return re.findall(r"[A-Za-z][a-z]{2,}", GIVEN.sub("", text))


def words(figure):
    figure = figure if isinstance(figure, Figure) else figure.get_figure(root=True)
    return [alt_text(figure), *(t.get_text() for t in figure.findobj(Text) if t.get_visible())]


@pytest.fixture(scope="module")
def visit():
    return plan(load_scenario("shared/blonde_refresh.toml"), members=10)


@pytest.fixture(scope="module")
def report():
    return tone_report(underpigment_state(8, CURVES))


@pytest.fixture(scope="module")
def looked_at():
    return strand_test(HAIR, MIXTURE, [Observation(20.0, level=8.5)], rinse_minutes=6.0)


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
    "one curve": lambda _: lightening_plots.plot_one_curve(HAIR, [MIXTURE]),
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
        assert re.findall(r"[A-Za-z0-9.]+", say("plot.warmth.from", end=np.float64(5.0))) == ["5.0"]
    assert left("too warm", "warm") == ["too"]
