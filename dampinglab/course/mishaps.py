"""One sentence in place of Python's own page, where a line of the course was mistyped.

Only names and lines of the course are answered so; every other error stays as Python tells it.
A marker still sees an error: what changes is how it reads.
"""

import re
import traceback
from difflib import get_close_matches

__all__ = ["install", "sentence"]

CALLS = ("check", "hint", "solution", "practise")
# What else the first grey cells of the lessons bring in.
BROUGHT = ("demo", "show", "to_si", "oscillator", "vehicle", "damper", "equivalent", "fluid")
ANSWERED = (SyntaxError, NameError, ZeroDivisionError, TypeError)

_FIRST_WORD = re.compile(r"\s*([A-Za-z_]+)\b(?!\s*=)")
_NUMBER = re.compile(r"\d+\.\d+")


def sentence(problem: BaseException) -> str:
    """Return the one sentence for an error in a line of the course; empty for any other."""
    if isinstance(problem, SyntaxError):
        return _unread(problem, problem.text or "")
    if isinstance(problem, NameError) and _ours(problem.name or ""):
        return _unknown(problem.name)
    frames = traceback.extract_tb(problem.__traceback__)
    line = frames[-1].line or "" if frames else ""
    if isinstance(problem, TypeError) and f"{_name(line)}()" in str(problem):
        return _unread(problem, line)
    if _name(line) != "check":
        return ""
    return f"The answer in this line cannot be worked out ({problem}): look at what stands in it."


def _ours(name: str) -> str:
    """Return the name of the course that is meant by a name, in whatever way it was spelled."""
    low = name.lower()
    if low in BROUGHT or low.endswith("_panel"):
        return low
    return next(iter(get_close_matches(low, CALLS, 1, 0.8)), "")


def _name(line: str) -> str:
    """Return the name of the course that a line begins with, or nothing."""
    first = _FIRST_WORD.match(line)
    return _ours(first[1]) if first else ""


def _unknown(name: str) -> str:
    meant = _ours(name)
    if meant != name:
        return f"`{name}` is not known: it is spelled `{meant}`."
    return f"`{name}` is not known yet: run the first grey cell, then this one again."


def _unread(problem: BaseException, line: str) -> str:
    """Show how a line of the course must look."""
    name, number = _name(line), _NUMBER.search(line)
    if not name or name in BROUGHT:
        return ""
    if isinstance(problem, IndentationError):
        return "This line must begin at the left edge, with no space before it."
    if name not in CALLS:
        return f"This line cannot be read: it must look like {name}(), with both brackets."
    there = f'{name}("{number[0] if number else "0.1"}"'
    if name == "check":
        return (
            f"This line cannot be read: it must look like {there}, 12.5), with both brackets, "
            "the comma and both quotes."
        )
    return f"This line cannot be read: it must look like {there}), with both brackets and quotes."


def _show(shell, kind, problem, trace, tb_offset=None) -> None:
    said = sentence(problem)
    if said:
        shell._showtraceback(kind, problem, [said])
    else:
        compiled = not issubclass(kind, SyntaxError)
        shell.showtraceback(
            (kind, problem, trace), tb_offset=tb_offset, running_compiled_code=compiled
        )


def install(shell) -> None:
    """Let a kernel answer the errors of the course's lines in one sentence."""
    shell.set_custom_exc(ANSWERED, _show)
