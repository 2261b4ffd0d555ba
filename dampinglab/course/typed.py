"""An answer typed without quotes, as people write it, is put in quotes before Python reads it.

Somebody who never coded writes check("1.2", 1,35 Hz) and has made no mistake of suspension; Python
would answer with a syntax error. Only the line of an exercise is touched, and only where Python
could not read it as one value. Curly quotes, which text programs and phones put in, are read as
straight ones.
"""

import ast
import builtins
import re
from collections import ChainMap
from collections.abc import Container

__all__ = ["install", "quoted"]

_CURLED = re.compile(
    r"""^(\s*(?:check|hint|solution|practise)\(\s*)["'“”„‘’‚]\s*([\d.]+)\s*["'“”„‘’‚]"""
)
_SUM = ast.Constant, ast.BinOp, ast.operator, ast.UnaryOp, ast.unaryop
_CALL = re.compile(r"""^(\s*check\(\s*(["'])[\d.]+\2\s*,)(.*)\)\s*;?\s*$""")


def quoted(line: str, known: Container[str] = ()) -> str:
    """Return a line with the answer in its check( ) put in quotes, where it needs them."""
    line = _CURLED.sub(r'\1"\2"', line)
    match = _CALL.match(line)
    if not match:
        return line
    typed = match[3].strip()
    if not typed or set(typed) & set("\"'=") or _readable(typed, known):
        return line
    return f"{match[1]} {typed!r})\n"


def _readable(typed: str, known: Container[str]) -> bool:
    """Whether Python reads this as one value: 350, 3/8, a known name; not 1,35, b or 1 in 8."""
    try:
        tree = ast.parse(typed, mode="eval").body
    except SyntaxError:
        return False
    nodes = list(ast.walk(tree))
    names = [node.id for node in nodes if isinstance(node, ast.Name)]
    if not names:
        return all(isinstance(node, _SUM) for node in nodes)
    return not isinstance(tree, ast.Tuple | ast.Compare) and all(name in known for name in names)


def install(shell) -> None:
    """Let a notebook's kernel read answers this way."""
    known = ChainMap(shell.user_ns, vars(builtins))
    shell.input_transformers_cleanup.append(lambda lines: [quoted(line, known) for line in lines])
