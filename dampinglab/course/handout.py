"""A lesson on paper: a notebook that was run becomes one page of HTML that asks no network."""

import base64
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from html import escape, unescape
from pathlib import Path

import mistune

from dampinglab import data
from dampinglab.course.lessons import find

__all__ = ["FOLDED", "inline", "lesson_page", "markdown", "page", "unturned"]

VIEW = "application/vnd.jupyter.widget-view+json"
STATE = "application/vnd.jupyter.widget-state+json"
ABOUT = (
    "Printed from the notebook. A panel is shown as it stands when it is opened; exercises have "
    "the numbers that they have there. All vehicles, dampers and records are invented."
)
FOLDED = re.compile(r"<details>.*?</summary>(.*?)</details>", re.DOTALL)  # answers
_WORDS = re.compile(r">[^<]+")
_STYLE = Path(__file__).with_name("handout.css")
_WIDE = 474.0  # points across for what a cell has printed, with a letter's edge to spare
_LETTER = 0.602  # of a letter's height: how wide it is where all are alike
_MANY = 800  # pixels: twelve-point letters on such a picture are small at two thirds of a page
_LARGEST, _SMALLEST = 9.0, 6.5  # points
_PIECES = re.compile(
    r"<h3>.*?</h3>|<img [^>]*>|<svg .*?</svg>|<table.*?</table>|<p[ >].*?</p>", re.DOTALL
)
# On paper nothing has been turned yet, and nothing moves.
_BEFORE = re.compile(r"<style>.*?</style>|(?<=</tr>)<tr><th[^>]*>before</th>.*</tr>", re.DOTALL)
_NOTHING_TURNED = re.compile(r"^No change(, for no click was turned)?[.:] | No click was turned\.$")


def page(title: str, body: str, *, about: str = "") -> str:
    """Return a whole page with the course's own stylesheet inside it."""
    told = f'<p class="about">{escape(about)}</p>' if about else ""
    style = _STYLE.read_text("utf-8")
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width">\n'
        f"<title>{escape(title)}</title>\n<style>\n{style}</style>\n</head>\n"
        f"<body>\n{told}{_WORDS.sub(_kept, body)}\n</body>\n</html>\n"
    )


def _kept(words: re.Match) -> str:
    """Return the words between two tags, no number parted from its unit."""
    return re.sub(r"(?<=\d) (?=[%°A-Za-z])", "\u00a0", words[0])


class _OnPaper(mistune.HTMLRenderer):
    """Pictures inside the page; links only into the glossary; headings that can be met."""

    def image(self, text: str, url: str, title: str | None = None) -> str:
        """Put a picture of the lessons into the page itself."""
        raw = (data.folder("lessons") / url).read_bytes()
        shown = base64.b64encode(raw).decode("ascii")
        return f'<img alt="{escape(text)}" src="data:image/png;base64,{shown}">'

    def link(self, text: str, url: str, title: str | None = None) -> str:
        """Keep the way into the glossary; of any other link keep the words."""
        file, _, anchor = url.partition("#")
        return f'<a href="glossary.html#{anchor}">{text}</a>' if file == "glossary.md" else text

    def heading(self, text: str, level: int, **_: object) -> str:
        """Name a heading as the links call it."""
        name = re.sub(r"<[^>]+>", "", text).strip().lower().replace(" ", "-")
        return f'<h{level} id="{escape(name)}">{text}</h{level}>\n'


def markdown(text: str) -> str:
    """Return a lesson's words as HTML."""
    made = mistune.create_markdown(renderer=_OnPaper(escape=True), plugins=["table"])(text)
    return re.sub(r"<p>(<img [^>]*>)\s*</p>", r"<figure>\1</figure>", made)


def lesson_page(notebook, title: str) -> str:
    """Return a lesson that was run as a page: words, pictures, exercises with room to write."""
    state = _widget_state(notebook)
    body = "".join(_cell(cell, state) for cell in notebook.cells)
    return page(title, body, about=ABOUT)


def _widget_state(notebook) -> Mapping[str, Mapping]:
    """Return what every widget of a notebook held when it had been run, by its name."""
    known = notebook.metadata.get("widgets", {}).get(STATE, {}).get("state", {})
    return {name: {**held["state"], "model": held["model_name"]} for name, held in known.items()}


def _cell(cell, state: Mapping[str, Mapping]) -> str:
    tags = cell.metadata.get("tags", [])
    if cell.cell_type == "markdown":
        if "statement" in tags:
            return _exercise(cell.metadata["dampinglab"]["exercise"])
        return _told(cell.source)
    if {"setup", "exercise"} & set(tags):
        return ""
    if cell.source.startswith("practise("):
        return f'<p class="small">More with new numbers, in the notebook: {escape(cell.source)}</p>'
    shown = _printed("".join(map(_lines, cell.outputs)))
    shown += "".join(_output(output, state) for output in cell.outputs)
    return shown or f"<pre><code>{escape(cell.source)}</code></pre>"


def _told(text: str) -> str:
    """Return a text; a line to write on stands right under what it asks to predict."""
    made = markdown(FOLDED.sub("", text))
    line = _line("What I expect:")
    return re.sub(
        r"<p>(?:(?!</p>).)*<strong>Predict.*?</p>",
        rf'<div class="together">\g<0>{line}</div>',
        made,
        flags=re.DOTALL,
    )


def _exercise(name: str) -> str:
    """Return an exercise with room for the working and the answer, or with boxes to tick."""
    exercise = find(name)
    task = exercise.task()
    told = markdown(f"**Exercise {name}: {exercise.title}.** {task.statement}")
    if task.choices:
        choices = (f"<b>{key}</b>: {inline(text)}" for key, text in task.choices.items())
        room = "".join(f'<p class="choice"><span class="box"></span>{each}</p>' for each in choices)
    else:
        room = _line("Working:") + _line("Answer:", task.unit)
    return f'<section class="exercise" data-exercise="{name}">{told}{room}</section>'


def inline(text: str) -> str:
    """Return one paragraph's words as HTML, to stand inside a line."""
    return re.sub(r"^<p>|</p>$", "", markdown(text).strip())


def _line(words: str, unit: str = "") -> str:
    after = f"<span>{escape(unit)}</span>" if unit else ""
    return f'<p class="write"><span>{words}</span><span class="line"></span>{after}</p>'


def _output(output, state: Mapping[str, Mapping]) -> str:
    """Return what a cell has shown: a panel, or a block of words."""
    shown = output.get("data", {})
    if VIEW in shown:
        return _panel(state, shown[VIEW]["model_id"])
    if "text/html" in shown:
        return f"<figure>{shown['text/html']}</figure>"
    return _printed(shown["text/plain"]) if "text/plain" in shown else ""


def _lines(output) -> str:
    return output.text if output.get("name") == "stdout" else ""


def _printed(text: str) -> str:
    """Return printed lines, in letters so small that the longest fits, or as a paragraph."""
    if not text.strip():
        return ""
    size = min(_LARGEST, _WIDE / (_LETTER * max(map(len, text.splitlines()))))
    if size < _SMALLEST:
        return f"<figure><p>{escape(text.strip())}</p></figure>"
    return f'<pre style="font-size:{size:.2f}pt">{escape(text.rstrip())}</pre>'


def _panel(state: Mapping[str, Mapping], name: str) -> str:
    """Return a panel on paper: its heading, what it is set to, its picture, what it says."""
    parts = list(_parts(state, name))
    pieces = [piece for kind, text in parts if kind == "html" for piece in _PIECES.findall(text)]
    if any(piece.startswith("<img") for piece in pieces):  # beside a drawing that moves
        pieces = [piece for piece in pieces if not piece.startswith("<svg")]
    told = Counter(text for kind, text in parts if kind == "set")
    # no row of equal switches, and none whose question stands there as a line of its own
    asked = unescape(" ".join(pieces))
    settings = [t for t, times in told.items() if times == 1 and t.partition("?: ")[0] not in asked]
    body = [_piece(piece) for piece in pieces]
    if settings:
        first = 1 if body and body[0].startswith("<h3") else 0
        words = "; ".join(settings)
        stop = "" if words[-1] in ".?!" else "."
        body.insert(first, f'<p class="small">Set to: {escape(words)}{stop}</p>')
    kind = ' class="panel"' if settings or any(piece.startswith("<h3") for piece in pieces) else ""
    return f"<figure{kind}>{''.join(body)}</figure>"


def _parts(state: Mapping[str, Mapping], name: str) -> Iterable[tuple[str, str]]:
    """Yield what a widget and those in it show, in order: HTML, or a control and its value."""
    held = state[name]
    if _hidden(state, held):
        return
    if "dl-control" in held.get("_dom_classes", ()):
        yield "set", _control(state, held)
    elif held["model"] == "HTMLModel":
        yield "html", held["value"]
    elif "_options_labels" in held and held.get("index") is not None:
        chosen = held["_options_labels"][held["index"]]
        yield "set", ": ".join(filter(None, (held.get("description"), chosen)))
    elif held["model"] == "ToggleButtonModel" and held["description"][:1].isdigit():
        yield "html", f"<h3>{escape(held['description'])}</h3>"  # a step of a tool
    else:
        for child in held.get("children", ()):
            yield from _parts(state, child.removeprefix("IPY_MODEL_"))


def _hidden(state: Mapping[str, Mapping], held: Mapping) -> bool:
    layout = state.get((held.get("layout") or "").removeprefix("IPY_MODEL_"), {})
    return layout.get("display") == "none" or layout.get("visibility") == "hidden"


def _control(state: Mapping[str, Mapping], held: Mapping) -> str:
    """Return a slider with its typed twin as words: its label, its number, its unit."""
    inside = [state[child.removeprefix("IPY_MODEL_")] for child in held["children"]]
    row = [state[c.removeprefix("IPY_MODEL_")] for w in inside for c in w.get("children", ())]
    told = [w["value"] for w in inside + row if w["model"] in ("LabelModel", "TextModel")]
    label, *number = (word for word in told if word)
    return f"{label}: {' '.join(number)}"


def _is_wide(piece: str) -> bool:
    """Tell whether a picture has so many pixels across that its letters need the whole page."""
    begins = re.search(r"base64,([\w+/]{32})", piece)
    return bool(begins) and int.from_bytes(base64.b64decode(begins[1])[16:20]) >= _MANY


def unturned(words: str) -> str:
    """Return what a panel says, without the remark that nothing was turned."""
    less = _NOTHING_TURNED.sub("", words)
    return words if less == words else f"{less[:1].upper()}{less[1:]}"


def _piece(piece: str) -> str:
    """Return one piece of a panel in the page's own looks."""
    if piece.startswith("<img") and _is_wide(piece):
        return f'<div class="wide">{piece}</div>'
    if not piece.startswith("<p"):
        return _BEFORE.sub("", piece)
    words = re.sub(r"^<p[^>]*>|</p>$", "", piece)
    words = unturned(words.strip())
    if not words:
        return ""
    quiet = re.match(r'<p class="dl-(fixed|note)"', piece)
    return f'<p class="{"small" if quiet else "said"}">{words}</p>'
