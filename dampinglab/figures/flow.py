"""Words set on a printed page: measured and broken into lines first, drawn when all of it fits."""

from dataclasses import dataclass, field
from functools import lru_cache

from matplotlib import ft2font
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, findfont, get_font
from matplotlib.lines import Line2D

from dampinglab.figures.look import INK

__all__ = [
    "A4",
    "LEADING",
    "Column",
    "Mark",
    "Rule",
    "Words",
    "drawable",
    "lines",
    "lost",
    "put",
    "width",
]

A4 = (595.28, 841.89)
"""Width and height of the page, points."""

LEADING = 1.28
"""From line to line, in letters' heights."""

_FAMILY = "DejaVu Sans"  # comes with matplotlib, so that every machine breaks lines alike
# As the PDF sets its letters; before matplotlib 3.10 the flags were plain numbers.
_UNHINTED = getattr(ft2font, "LoadFlags", None)
_UNHINTED = _UNHINTED.NO_HINTING if _UNHINTED else ft2font.LOAD_NO_HINTING
_NO_GLYPH = "□"


@dataclass(frozen=True)
class Words:
    """One line of words: its left end and base line in points from the upper left corner."""

    across: float
    down: float
    text: str
    size: float
    bold: bool = False


@dataclass(frozen=True)
class Rule:
    """A level line, in points."""

    left: float
    right: float
    down: float
    thick: float


@dataclass(frozen=True)
class Mark:
    """A small sign, by matplotlib's name of its shape."""

    across: float
    down: float
    shape: str
    size: float
    full: bool


@dataclass
class Column:
    """A strip of the page that is filled from the top down."""

    left: float
    wide: float
    down: float
    size: float
    things: list[Words | Rule | Mark] = field(default_factory=list)

    def say(self, text: str, *, bold: bool = False, scale: float = 1.0, indent: float = 0) -> None:
        """Set words below what is there, in as many lines as they need."""
        size = scale * self.size
        for line in lines(text, self.wide - indent, size, bold=bold):
            self.down += LEADING * size
            self.things.append(Words(self.left + indent, self.down, line, size, bold))

    def beside(self, label: str, text: str, room: float) -> None:
        """Set a label in bold, and words in the room right of it."""
        top = self.down
        part = Column(self.left, room - self.size, top, self.size)
        part.say(label, bold=True)
        self.things += part.things
        self.say(text, indent=room)
        self.down = max(self.down, part.down)

    def head(self, text: str) -> None:
        """Set a heading below a thin rule."""
        self.down += 0.75 * self.size
        self.things.append(Rule(self.left, self.left + self.wide, self.down, 0.6))
        self.down += 0.1 * self.size
        self.say(text, bold=True)

    def row(self, cells: list[str], rooms: list[float], bold: int | None = None) -> None:
        """Set a row of a table; each cell is broken in its own room."""
        top, left, lowest = self.down, self.left, self.down
        for place, (cell, room) in enumerate(zip(cells, rooms, strict=True)):
            part = Column(left, room - 0.6 * self.size, top, self.size)
            part.say(cell, bold=place == bold)
            self.things += part.things
            lowest = max(lowest, part.down)
            left += room
        self.down = lowest + 0.15 * self.size


def drawable(text: str) -> str:
    """Return the words with signs for letters that the page's font does not have."""
    known = _known()
    spaced = "".join(" " if letter.isspace() and letter != "\n" else letter for letter in text)
    kept = (c if c == "\n" or ord(c) in known else _NO_GLYPH for c in spaced)
    return "".join(kept)


def lost(text: str) -> int:
    """Return how many letters the page cannot show."""
    return sum(a != b for a, b in zip(text, drawable(text), strict=True) if not a.isspace())


def width(text: str, size: float, *, bold: bool = False) -> float:
    """Return how wide words are, in points."""
    return _wide(text, bold) * size / 100


def lines(text: str, room: float, size: float, *, bold: bool = False) -> list[str]:
    """Break words into lines that fit in a room; a word that does not fit is broken itself."""
    made = []
    for paragraph in drawable(text).split("\n"):
        line = ""
        for word in paragraph.split():
            joined = f"{line} {word}".lstrip()
            if width(joined, size, bold=bold) <= room:
                line = joined
                continue
            made += [line] if line else []
            *pieces, line = _pieces(word, room, size, bold)
            made += pieces
        made.append(line)
    return made


def _pieces(word: str, room: float, size: float, bold: bool) -> list[str]:
    """Cut a word into pieces that fit."""
    pieces = [""]
    for letter in word:
        if pieces[-1] and width(pieces[-1] + letter, size, bold=bold) > room:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def put(things: list[Words | Rule | Mark], figure: Figure) -> None:
    """Draw all of it on an A4 figure."""
    draw = {Words: _put_words, Rule: _put_rule, Mark: _put_mark}
    for thing in things:
        draw[type(thing)](thing, figure, 1 - thing.down / A4[1])


def _put_words(words: Words, figure: Figure, up: float) -> None:
    style = {"fontsize": words.size, "fontweight": "bold" if words.bold else "normal"}
    style |= {"fontfamily": _FAMILY, "color": INK, "va": "baseline", "parse_math": False}
    figure.text(words.across / A4[0], up, words.text, **style)


def _put_rule(rule: Rule, figure: Figure, up: float) -> None:
    ends = [rule.left / A4[0], rule.right / A4[0]]
    figure.add_artist(Line2D(ends, [up, up], color=INK, linewidth=rule.thick))


def _put_mark(mark: Mark, figure: Figure, up: float) -> None:
    style = {"marker": mark.shape, "markersize": mark.size, "color": INK, "linestyle": "none"}
    style |= {"markerfacecolor": INK if mark.full else "white", "markeredgewidth": 0.8}
    figure.add_artist(Line2D([mark.across / A4[0]], [up], **style))


@lru_cache(maxsize=20_000)
def _wide(text: str, bold: bool) -> float:
    """Return the width at a size of 100 points."""
    font = _font(bold)
    font.set_size(100, 72)
    font.set_text(text, 0, flags=_UNHINTED)
    return font.get_width_height()[0] / 64


@lru_cache
def _known() -> frozenset[int]:
    return frozenset(_font(False).get_charmap()) & frozenset(_font(True).get_charmap())


@lru_cache
def _font(bold: bool):
    weight = "bold" if bold else "normal"
    return get_font(findfont(FontProperties(family=_FAMILY, weight=weight)))
