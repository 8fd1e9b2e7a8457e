"""What notebooks show: HTML that every viewer shows, with words beside each picture."""

from html.parser import HTMLParser

import pytest
from matplotlib.figure import Figure

from lift.practice.exercise import class_exercise
from lift.show.lesson import notebook


class Reader(HTMLParser):
    """Collects tags with their attributes and the text between them."""

    def __init__(self, html):
        super().__init__()
        self.tags, self.open, self.words = [], [], []
        self.feed(html)
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in {"img", "br"}:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.words.append(data)


def figure():
    made = Figure()
    axes = made.add_subplot()
    axes.set_title("Warmth rises", loc="left")
    return made, axes


def test_alt_text_holds_the_finding_and_the_description():
    made, axes = figure()
    shown = notebook.figure_with_alt(axes, 'A line "goes" up & on.')
    (image,) = Reader(shown.html).tags
    assert image[0] == "img"
    assert image[1]["alt"] == 'Warmth rises. A line "goes" up & on.'
    assert image[1]["src"].startswith("data:image/png;base64,")
    assert shown.text == image[1]["alt"]
    made.suptitle("All of it")
    assert notebook.figure_with_alt(made, "x").text.startswith("All of it. Warmth rises.")


def test_the_same_figure_gives_the_same_bytes():
    assert notebook.figure_with_alt(figure()[0], "x") == notebook.figure_with_alt(figure()[0], "x")


def test_mime_bundle_has_words_for_every_viewer():
    bundle = notebook.Shown("<p>a</p>", "a")._repr_mimebundle_(include=None, exclude=None)
    assert bundle == {"text/html": "<p>a</p>", "text/plain": "a"}


def test_table_escapes_and_heads_its_columns():
    shown = notebook.table(["name", "time [min]"], [("a<b", 3), ("c", None)], "A finding")
    reader = Reader(shown.html)
    assert [a["scope"] for t, a in reader.tags if t == "th"] == ["col", "col"]
    assert "a<b" in reader.words
    assert shown.text.splitlines() == ["A finding", "name; time [min]", "a<b; 3", "c; None"]


def test_items_lists_each_sentence():
    shown = notebook.items(["one", "two"], "Do")
    assert [t for t, _ in Reader(shown.html).tags].count("li") == 2
    assert shown.text == "Do\n- one\n- two"


@pytest.mark.parametrize("unfolded", [True, False])
def test_foldable(unfolded):
    shown = notebook.foldable(notebook.Shown("<p>x</p>", "x"), "more", unfolded=unfolded)
    tag, attributes = Reader(shown.html).tags[0]
    assert tag == "details"
    assert ("open" in attributes) is unfolded


def test_exercise_folds_every_answer_away():
    questions = class_exercise()
    shown = notebook.exercise(questions)
    tags = Reader(shown.html).tags
    assert [t for t, _ in tags].count("details") == len(questions)
    assert all("open" not in a for t, a in tags if t == "details")
    for question in questions:
        assert str(question.answer) in shown.text
