"""What the handover panel writes: tables of checks, clicks, scores and points."""

import html
from collections.abc import Sequence

from dampinglab.course.handover import Job
from dampinglab.course.handover_limits import AXLES, RULE, WATCHED, Watched
from dampinglab.course.handover_score import MOST
from dampinglab.course.handover_words import ROWS
from dampinglab.figures.words import by_percent, change
from dampinglab.units import minus, show
from dampinglab.workshop.corners import CORNERS
from dampinglab.workshop.gates import GATES

__all__ = ["by_drive", "clicks", "fixed", "looks", "points", "scores", "table"]

_MARK = {True: "✓ in order", False: "✗ NOT in order", None: "– not yet"}


def fixed(words: str) -> str:
    """Return words that stand under a table or a list."""
    return f'<p class="dl-fixed">{html.escape(words).replace(" %", "&nbsp;%")}</p>'


def table(head: Sequence[str], lines: Sequence[Sequence[str]], side: str = "right") -> str:
    """Return a table whose first column names the rows; numbers right, or words left."""
    whole = "" if side == "right" else "; white-space:nowrap"
    last = f"text-align:{side}; vertical-align:top"

    def cells(kind: str, words: Sequence[str]) -> str:
        styles = [f"{last}{whole}"] * (len(words) - 1) + [last]
        pairs = zip(styles, words, strict=True)
        return "".join(f"<{kind} style='{s}'>{html.escape(w)}</{kind}>" for s, w in pairs)

    corner = f"<th style='{last}; text-align:left'>{html.escape(head[0])}</th>"

    rows = "".join(
        f"<tr><th scope='row' style='{last}; text-align:left'>{html.escape(first)}</th>"
        f"{cells('td', rest)}</tr>"
        for first, *rest in lines
    )
    top = corner + cells("th", head[1:])
    return f'<table class="dl-scores"><thead><tr>{top}</tr></thead><tbody>{rows}</tbody></table>'


def looks(job: Job) -> str:
    """Return every check with what was seen there last."""
    done = [move for move in job.moves if move["do"] in ("look", "mend")]
    seen = {move["gate"]: move.get("seen") or move["told"] for move in done}
    answers = job.stand.answers
    lines = [(key, _MARK[answers.get(key)], seen.get(key, "")) for key in GATES]
    return table(("check", "state", "seen or done last"), lines, "left")


def clicks(job: Job) -> str:
    """Return the clicks of all four dampers, out from closed, from soft in brackets."""
    if job.clicks is None:
        return fixed("Clicks are not counted yet: look at “sides”.")
    head = ("clicks out from closed (from soft)", *job.adjusters)
    lines = [
        (
            corner,
            *(f"{n} ({most - n})" for n, most in zip(now, job.adjusters.values(), strict=True)),
        )
        for corner, now in zip(CORNERS, job.clicks, strict=True)
    ]
    return table(head, lines)


def scores(job: Job) -> str:
    """Return the last drive's means beside their limits; what is outside is marked."""
    drive, most = job.drives[-1], job.limits
    lines = []
    for i, each in enumerate(WATCHED):
        cells = []
        for axle in AXLES:
            mark = "▲ " if drive.off[axle, i] > 1 else ""
            cells += [mark + _number(drive.scores[axle, i]), _number(most[axle, i])]
        lines.append((f"{ROWS[i]} ({each.road}), {each.what.unit}", *cells))
    return table((f"drive {drive.number}", "front", "limit", "rear", "limit"), lines) + fixed(
        f"▲ outside its limit. {RULE}"
    )


def by_drive(job: Job) -> str:
    """Return the first drive beside the last, in numbers: what is given up is read from it."""
    if len(job.drives) < 2:
        return ""
    first, last = job.drives[0], job.drives[-1]
    lines = [
        (ROWS[i], *(_change(first.scores[axle, i], last.scores[axle, i], each) for axle in AXLES))
        for i, each in enumerate(WATCHED)
    ]
    return table((f"drive {first.number} to drive {last.number}", *AXLES), lines)


def _number(value: float) -> str:
    """Return a score in three figures, its last zeros too, never as a power of ten."""
    return minus(show(value, ""))


def _change(old: float, new: float, each: Watched) -> str:
    """Return two values, and how many percent more or less where the old one is not about zero."""
    told = f"{_number(old)} to {_number(new)} {each.what.unit}"
    if old <= each.floor:
        return told
    share = by_percent(change(new, old)).replace(" %", "\N{NO-BREAK SPACE}%")
    return f"{told} ({share})"


def points(job: Job) -> str:
    """Return the four topics with their points and sentences, once the job is over."""
    score = job.score
    if score is None:
        return ""
    lines = [
        (topic, f"{score.points[topic]} of {most}", score.words[topic])
        for topic, most in MOST.items()
    ]
    total = ("in all", f"{score.total} of 100", score.cause)
    return table(("topic", "points", "why"), [*lines, total], "left")
