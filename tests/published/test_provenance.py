"""Every comparison in this folder says how its published value is known."""

import ast
from pathlib import Path

import pytest

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
