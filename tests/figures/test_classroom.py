"""The class at a glance: every square stands where the answers say, and says so without colour."""

import itertools

import numpy as np
import pytest

from dampinglab.figures import classroom
from dampinglab.figures.look import ROOM

LESSONS = {"00": ["0.1", "0.2"], "01": ["1.1"]}
STATES = np.array([[3, 2, 0], [1, 0, 3]])
NAMES = ["Anna", "王 $x$"]


def draw(names=NAMES, states=STATES, lessons=LESSONS, **more):
    figure = classroom.draw(names, lessons, states, "A title", **more)
    figure.savefig("/dev/null", format="png")
    return figure


@pytest.mark.parametrize(("state", "fill"), [(3, "full"), (2, "left"), (1, "none")])
def test_squares_stand_where_the_states_are(state, fill):
    (axes,) = draw().axes
    (line,) = [one for one in axes.lines if one.get_fillstyle() == fill and one.get_marker() == "s"]
    found = {(int(down), int(across)) for across, down in line.get_xydata()}
    assert found == {(int(down), int(across)) for down, across in np.argwhere(states_are(state))}


def states_are(state):
    return state == STATES


@pytest.mark.filterwarnings("error")
def test_names_that_the_letters_do_not_have_are_drawn_all_the_same():
    (axes,) = draw(size=ROOM).axes
    assert [label.get_text() for label in axes.get_yticklabels()] == ["Anna", "□ $x$"]
    assert [label.get_text() for label in axes.get_xticklabels()] == ["0.1", "0.2", "1.1"]


def test_a_large_class_keeps_its_first_rows_and_names_lessons_only():
    lessons = {"00": [f"0.{n}" for n in range(1, 60)], "01": ["1.1"]}
    states = np.ones((classroom.ROWS + 5, 60), int)
    names = [f"learner {n}" for n in range(len(states))]
    (axes,) = draw(names, states, lessons).axes
    assert len(axes.get_yticklabels()) == classroom.ROWS
    assert [label.get_text() for label in axes.get_xticklabels()] == ["00", "01"]
    assert "The first 40 of 45 learners are drawn." in classroom.alt_text(names, lessons, states)


@pytest.mark.parametrize("many", [3, 38, 45])
def test_the_exercises_of_an_evening_are_named_and_no_name_touches_the_next(many):
    ids = [f"10.{n}" for n in range(many)]
    figure = draw(states=np.ones((2, many), int), lessons={"10": ids})
    labels = figure.axes[0].get_xticklabels()
    assert [label.get_text() for label in labels] == ids
    boxes = [label.get_window_extent() for label in labels]
    assert all(one.x1 < other.x0 for one, other in itertools.pairwise(boxes))
    axis = figure.axes[0].xaxis.label.get_window_extent()
    assert figure.legends[0].get_window_extent().y1 <= axis.y0 < axis.y1 < min(b.y0 for b in boxes)


def test_the_words_count_what_is_drawn():
    told = classroom.alt_text(NAMES, LESSONS, STATES)
    assert "2 learners by 3 exercises of lessons 00, 01" in told
    assert "2 right at the first try, 1 right later, 1 tried, not right yet" in told
