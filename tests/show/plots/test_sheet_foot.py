"""Cautions below a sheet: those for this mixture and hair first, then those that always hold."""

from matplotlib.figure import Figure

from lift.model.hair import Hair
from lift.model.mixture import Mixture
from lift.practice.cautions import ALWAYS, UNMIXED, cautions
from lift.practice.choosing.choose import choose
from lift.practice.goal import Lighten
from lift.practice.overprocessing import overprocessed
from lift.practice.preview import preview
from lift.show.plots.choose_plots import plot_choice
from lift.show.plots.figure import foot
from lift.show.plots.preview_plots import plot_preview
from lift.words import note

PALE, POWDER = Hair(6.0, lightened_to=9.0), Mixture("powder", 20.0)


def words(figure):
    return " ".join(figure.get_supxlabel().split())


def test_special_cautions_stand_first_each_on_a_line_of_its_own():
    said = (*overprocessed(PALE, POWDER, [10.4]), *cautions(POWDER, 20.0, PALE))
    figure = foot(Figure(figsize=(40.0, 3.0)), said, note("text", text="And more."))
    special = [str(each) for each in said if each not in ALWAYS and "Known of" not in str(each)]
    assert len(special) == 4
    assert figure.get_supxlabel().split("\n") == [*special, f"{UNMIXED[0]} And more."]


def test_a_sheet_without_special_cautions_has_one_sentence_in_soft_letters():
    plain = foot(Figure(figsize=(9.0, 3.0)), ALWAYS)
    assert words(plain) == str(UNMIXED[0])
    loud = foot(Figure(figsize=(9.0, 3.0)), cautions(POWDER))
    assert loud._supxlabel.get_color() != plain._supxlabel.get_color()
    assert all(len(line) <= 14 * 9 for line in plain.get_supxlabel().split("\n"))


def test_a_preview_is_drawn_with_its_cautions():
    result = preview(Hair(6.0), POWDER, 5.0, members=10)
    assert words(plot_preview(result)).startswith(str(result.cautions[0]))
    assert result.cautions[0] not in ALWAYS


def test_a_choice_is_drawn_with_its_cautions():
    choice = choose(Hair(6.0), Lighten(9.0), members=20)
    assert words(plot_choice(choice)).startswith(str(choice.cautions[0]))
    assert choice.cautions[0] not in ALWAYS
