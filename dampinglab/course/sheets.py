"""Sheets for the wall and the bench: complaints, a setting card to be filled in, the glossary."""

import re
from collections.abc import Mapping, Sequence
from html import escape
from itertools import groupby

from dampinglab import data
from dampinglab.course.handout import markdown, page
from dampinglab.workshop.card import NAMES
from dampinglab.workshop.complaint import table
from dampinglab.workshop.corners import AXLES, CORNERS
from dampinglab.workshop.gates import GATES

__all__ = ["blank_card", "complaint_page", "glossary_page"]

_ROOM = {"customer_words": 2, "trials": 4}  # lines; one for any other part
_TABLES = ("totals", "as_found", "final", "empty", "loaded", "masses_kg", "heights_mm")
_KNOBS = ("low-speed bump (or bump)", "high-speed bump", "rebound")
_WORDS, _ONCE, _CARE = "Complaint", ("When and how fast", "Look first"), "Take care"
_SOURCE = "Common practice, no source. The maker's instructions and local rules come first."


def blank_card(always: str) -> str:
    """Return one page with a line or a box for every part of a card."""
    first, rest = _split(tuple(NAMES))
    body = (
        "<h1>Setting card</h1>"
        + "".join(map(_lines, first))
        + _clicks()
        + _wheels()
        + "".join(map(_lines, rest))
        + f'<p class="small">{escape(always)}</p>'
        + _signed()
    )
    return page("Setting card", f'<div class="card">{body}</div>')


def _split(names: tuple[str, ...]) -> tuple[list[str], list[str]]:
    """Return the parts before and behind the tables."""
    at = names.index(_TABLES[0])
    return list(names[:at]), [name for name in names[at:] if name not in _TABLES]


def _lines(name: str) -> str:
    label = f"<b>{NAMES[name][:1].upper()}{NAMES[name][1:]}</b>"
    more = '<p class="write"><span class="line"></span></p>' * (_ROOM.get(name, 1) - 1)
    first = f'<p class="write"><span>{label}</span><span class="line"></span></p>'
    return f'<div class="together">{first}{more}</div>'


def _clicks() -> str:
    """Return the table of clicks: all adjusters of both axles, and the pressures."""
    names = ["clicks in all", *(NAMES[name] for name in _TABLES[1:5])]
    rows = [f"{axle} {adjuster}" for axle in AXLES for adjuster in _KNOBS]
    rows += [f"{axle} tyres cold, kPa" for axle in AXLES]
    return _table("Clicks out from closed (from soft in brackets)", names, rows)


def _wheels() -> str:
    rows = [f"{NAMES['masses_kg']}, kg", f"{NAMES['heights_mm']}, mm"]
    return _table("Each wheel", list(CORNERS), rows)


def _table(title: str, heads: list[str], rows: list[str]) -> str:
    top = "".join(f"<th>{escape(head)}</th>" for head in ["", *heads])
    empty = "<td></td>" * len(heads)
    body = "".join(f"<tr><th>{escape(row)}</th>{empty}</tr>" for row in rows)
    return f"<table><caption>{title}</caption><thead><tr>{top}</tr></thead>{body}</table>"


def _signed() -> str:
    lines = (f'<span>{who}</span><span class="line"></span>' for who in ("workshop", "owner"))
    return f'<p class="write">{"".join(lines)}</p>'


def complaint_page() -> str:
    """Return what is checked before any click, and what the trade turns for which complaint."""
    checks = "".join(map(_gate, GATES.values()))
    blocks = groupby(table(), key=lambda row: row[_WORDS])
    found = "".join(_complaint(words, list(rows)) for words, rows in blocks)
    body = (
        f"<h1>From complaint to change</h1><p>{escape(_SOURCE)}</p>"
        f'<h2>Before any click, in this order</h2><ol class="checks">{checks}</ol>'
        f"<h2>Then the complaint</h2>{found}"
    )
    return page("From complaint to change", body)


def _gate(gate) -> str:
    asks, how, fails = (escape(text) for text in (gate.asks, gate.how, gate.fails))
    return f'<li class="together"><b>{asks}</b> {how} <i>If not:</i> {fails}</li>'


def _complaint(words: str, rows: Sequence[Mapping[str, str]]) -> str:
    """Return one complaint: when it is felt, what is looked at first, what is turned, with care."""
    first = rows[0]
    told = " ".join(f"<b>{name}:</b> {_sentence(first[name])}" for name in _ONCE if first[name])
    care = dict.fromkeys(row[_CARE] for row in rows if row[_CARE])
    heads = [name for name in first if name not in (_WORDS, _CARE, *_ONCE)]
    turned = _changes(heads, rows) if any(first[name] for name in heads[1:]) else ""
    if not turned and first[heads[0]] not in told.lower():
        told += f" <b>{_sentence(first[heads[0]])}</b>"
    warned = "".join(f'<p class="small"><b>{_CARE}:</b> {escape(each)}</p>' for each in care)
    body = f"<h3>{escape(words)}</h3><p>{told}</p>{turned}{warned}"
    return f'<section class="complaint together">{body}</section>'


def _changes(heads: Sequence[str], rows: Sequence[Mapping[str, str]]) -> str:
    top = "".join(f"<th>{escape(name)}</th>" for name in heads)
    cells = ("".join(f"<td>{escape(row[name])}</td>" for name in heads) for row in rows)
    body = "".join(f"<tr>{each}</tr>" for each in cells)
    return f"<table><thead><tr>{top}</tr></thead>{body}</table>"


def _sentence(text: str) -> str:
    return escape(f"{text[:1].upper()}{text[1:].rstrip('.')}.")


def glossary_page() -> str:
    """Return the glossary in two columns."""
    text = (data.folder("lessons") / "glossary.md").read_text("utf-8")
    head, *entries = re.split(r"(?m)^(?=### )", text)
    listed = "".join(f'<div class="together">{markdown(each)}</div>' for each in entries)
    return page("Glossary", f'{markdown(head)}<div class="columns">{listed}</div>')
