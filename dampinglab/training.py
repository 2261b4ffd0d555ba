"""A trainer's two commands from files to words: mark one workbook, look over a whole class."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from dampinglab.course import marked, marks_page

__all__ = ["run_mark"]


def run_mark(folder: Path, tell: Callable[[str], None]) -> str:
    """Mark a workbook, write its page, and return the marks in words."""
    marks = marked.mark(folder, tell)
    html = marks_page.page(marks, folder.name, datetime.now())
    place = marks_page.keep_page(folder, html)
    return f"MARKED   {folder}\n{marked.text(marks)}\n\nThe same as a page to print: {place}"
