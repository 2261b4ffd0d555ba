"""The marks as a page that needs nothing but itself, and its place among the learner's files."""

from datetime import datetime
from html import escape
from pathlib import Path

from dampinglab import journal
from dampinglab.course.marked import DONE, LOOK, TODO, LessonMarks, Mark, Marks
from dampinglab.sealed import is_ours, sealed

__all__ = ["keep_page", "page"]

NAME = "marks.html"
SIGNS = {DONE: "✓", TODO: "○", LOOK: "▶"}
_STYLE = """
@page { size: A4; margin: 16mm 17mm 17mm; font: 9pt sans-serif; }
body { font-family: sans-serif; font-size: 16px; line-height: 1.4; color: #1A1A1A;
  background: #FBFAF6; max-width: 52em; margin: 1.5em auto; padding: 0 1em; }
h1 { font-size: 1.6em; } h2 { font-size: 1.15em; margin: 1.4em 0 0.3em; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; vertical-align: top; padding: 0.25em 0.6em 0.25em 0;
  border-top: 1px solid #E4DFD5; }
th { font-weight: normal; width: 6.5em; white-space: nowrap; } th.look { font-weight: bold; }
tr { break-inside: avoid; } h2 { break-after: avoid; }
td.said { overflow-wrap: anywhere; }
@media print {
  body { background: none; font-size: 10.5pt; margin: 0; padding: 0; max-width: none; }
}
"""


def page(marks: Marks, whose: str, when: datetime) -> str:
    """Return the marks as a whole HTML page."""
    troubles = "".join(f"<li>{escape(one)}</li>" for one in marks.troubles)
    body = [
        f"<h1>Marks: {escape(whose)}</h1>",
        f"<p>{when:%Y-%m-%d %H:%M}. {marks.counted}</p>",
        *(_lesson(lesson) for lesson in marks.lessons),
        f"<h2>Also in the way</h2><ul>{troubles}</ul>" if troubles else "",
    ]
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width">'
        f"<title>Marks: {escape(whose)}</title><style>{_STYLE}{_foot(whose)}</style></head>\n"
        "<body>\n" + "\n".join(body) + "\n</body></html>"
    )


def _foot(whose: str) -> str:
    """Return what stands at the foot of each printed page: whose it is, and its number.

    Signs are written as numbers, so that no name ends the words or the stylesheet.
    """
    name = "".join(c if c.isalnum() else f"\\{ord(c):06x}" for c in whose)
    return (
        f'@page {{ @bottom-left {{ content: "{name}"; }} '
        "@bottom-right { content: counter(page); } }\n"
    )


def _lesson(lesson: LessonMarks) -> str:
    """Return what is to be looked at line by line, then the rest in a line for each state."""
    done = f"{len(lesson.of(DONE))} of {len(lesson.marks)} done"
    note = f" ({escape(lesson.note)})" if lesson.note else ""
    rows = [_row(LOOK, _named(mark), mark.says) for mark in lesson.of(LOOK)]
    for state in (TODO, DONE):
        for says in dict.fromkeys(mark.says for mark in lesson.of(state)):
            alike = [_named(mark) for mark in lesson.of(state) if mark.says == says]
            rows.append(_row(state, "; ".join(alike), says))
    head = f"<h2>{lesson.lesson.number} {escape(lesson.lesson.title)}: {done}{note}</h2>"
    return "\n".join([head, "<table>", *rows, "</table>"])


def _named(mark: Mark) -> str:
    return f"<b>{mark.exercise}</b>&nbsp;{escape(mark.title)}"


def _row(state: str, named: str, says: str) -> str:
    looks = ' class="look"' if state == LOOK else ""
    told = f"<br>{escape(says)}" if says else ""
    return (
        f'<tr><th scope="row"{looks}>{SIGNS[state]} {state}</th>'
        f'<td class="said">{named}{told}</td></tr>'
    )


def keep_page(folder: Path, html: str) -> Path:
    """Write the page into a folder; only a page of ours that nobody changed is replaced."""
    data = sealed(html)
    ours = [path for path in [folder / NAME, *sorted(folder.glob("marks-*.html"))] if is_ours(path)]
    if not ours:
        return journal.keep(folder / NAME, data.encode())
    journal.replace(ours[0], data)
    return ours[0]
