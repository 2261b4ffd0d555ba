"""Every comparison in this folder says how its published value is known."""

import ast
from pathlib import Path

import pytest

from dampinglab.course import bank

HERE = Path(__file__).parent
WORDS = ("Confirmed", "From memory", "Identity")


@pytest.mark.parametrize("path", sorted(HERE.glob("test_*.py")), ids=lambda path: path.stem)
def test_each_comparison_says_how_its_value_is_known(path):
    if path.name == Path(__file__).name:
        return
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert ast.get_docstring(tree), f"{path.name} does not name its source"
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            text = ast.get_docstring(node) or ""
            assert text.startswith(WORDS), f"{path.name}: {node.name} must begin with {WORDS}"


def _rests_on_a_source(exercise):
    ours = ("This course's own", "Common practice, no source")
    return not any(words in exercise.source for words in ours)


@pytest.mark.parametrize(
    "key", [key for key, exercise in bank.exercises().items() if _rests_on_a_source(exercise)]
)
def test_each_exercise_that_names_a_source_is_compared_with_it(key):
    texts = [path.read_text(encoding="utf-8") for path in HERE.glob("test_*.py")]
    assert any(f'find("{key}")' in text for text in texts)
