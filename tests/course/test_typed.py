"""Answers typed without quotes."""

import pytest

from dampinglab.course.typed import quoted

KNOWN = {"f": 1.5, "max": max}


@pytest.mark.parametrize(
    ("typed", "read"),
    [("350 N/mm", "350 N/mm"), ("1,35", "1,35"), ("1,35 Hz", "1,35 Hz"), ("350 N·s/m", "350 N·s/m"),
     ("b", "b"), ("3/8 in", "3/8 in"), ("5 %", "5 %"), ("-5 mm", "-5 mm"),
     ("11 in 1024", "11 in 1024"), ("5 (3)", "5 (3)"), ("f < 2", "f < 2")],
)  # fmt: skip
def test_what_python_cannot_read_is_put_in_quotes(typed, read):
    line = quoted(f'check("1.2", {typed})\n', KNOWN)
    heard = []
    exec(line, {"check": lambda *all_of_it: heard.append(all_of_it)})
    assert heard == [("1.2", read)]


@pytest.mark.parametrize("line", ["check(“1.2”, 5)", "check(‘1.2’, 5)", 'check("1.2’, 5)'])
def test_curly_quotes_round_the_number_of_an_exercise_are_straightened(line):
    assert quoted(line, KNOWN) == 'check("1.2", 5)'
    assert quoted("hint(“1.2”)", KNOWN) == 'hint("1.2")'


@pytest.mark.parametrize(
    "line",
    ['check("1.2", ...)', 'check("1.2", 3/8)', 'check("1.2", f * 2)', 'check("1.2", "350 N/mm")',
     'check("1.2", 5, seed=3)', 'check("1.2", max(1, 2))', "x = 350", 'hint("1.2")',
     'print("check", 3)', 'check("1.2")', 'check("1.2", )', 'check("1.2", 1.35)'],
)  # fmt: skip
def test_all_other_lines_are_left_alone(line):
    assert quoted(line, KNOWN) == line
