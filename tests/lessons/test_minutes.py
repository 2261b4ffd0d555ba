"""A lesson's minutes are reckoned by one rule from what stands in it; no learner was timed.

The rule. Reading: 120 words a minute, half of the 238 at which adults read plain text in silence
(Brysbaert 2019, Journal of Memory and Language 109, from memory), because these words are read
beside a panel or a calculator; 3 minutes for each panel; 1 for each table or picture that a cell
makes; half a minute for each prediction. Practising: the same speed for the statements, 2 minutes
for each answer in numbers, 1 for each letter to choose. All but the reading speed are assumptions
of this course, with no source.
"""

import re
from collections.abc import Iterator

import nbformat
import pytest

from dampinglab import data
from dampinglab.course.lessons import LESSONS, find

WORDS_A_MINUTE = 120
PANEL, SHOWN, PREDICTION = 3, 1, 0.5  # minutes
NUMBERS, LETTER = 2, 1
WHOLE, PART = 1.25, 1.4  # the rule may say so many times what the lesson says, or the other way
TOOLS = {"11", "12"}  # as long as the vehicle takes


def reckoned(lesson) -> tuple[float, float]:
    """Return the minutes to read and to practise."""
    notebook = nbformat.read(data.folder("lessons") / lesson.file, as_version=4)
    minutes = [part for cell in notebook.cells for part in _parts(cell)]
    return tuple(sum(m for kind, m in minutes if kind == each) for each in ("read", "practise"))


def _parts(cell) -> Iterator[tuple[str, float]]:
    tags = cell.metadata.get("tags", [])
    if cell.cell_type == "markdown":
        kind = "practise" if "statement" in tags else "read"
        yield kind, len(cell.source.split()) / WORDS_A_MINUTE
        yield "read", PREDICTION * cell.source.count("**Predict")
        if "statement" in tags:
            task = find(cell.metadata["dampinglab"]["exercise"]).task()
            yield "practise", LETTER if task.choices else NUMBERS
    elif not {"setup", "exercise"} & set(tags) and not cell.source.startswith("practise("):
        yield "read", PANEL if re.search(r"_panel\(", cell.source) else SHOWN


@pytest.mark.parametrize(
    "lesson", [one for one in LESSONS if one.number not in TOOLS], ids=lambda one: one.number
)
def test_the_minutes_a_lesson_states_are_near_those_of_the_rule(lesson):
    read, practise = reckoned(lesson)
    for stated, minutes, factor in (
        (lesson.read + lesson.practise, read + practise, WHOLE),
        (lesson.read, read, PART),
        (lesson.practise, practise, PART),
    ):
        assert 1 / factor < minutes / stated < factor, f"stated {stated}, by the rule {minutes:.0f}"
