"""A class: many learners' progress files, read without trust and judged anew; nothing is run."""

import json
import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path
from stat import S_ISREG

from dampinglab.course import bank
from dampinglab.course.answers import Answer, read_answers
from dampinglab.course.progress import FORMAT
from dampinglab.errors import LearnerError

__all__ = ["PAUSE", "Class", "Item", "Learner", "items", "read_class"]

LEARNERS, FILES = 300, 1_000
LARGEST = 5_000_000  # bytes of a file; an answer takes about 200
ANSWERS = 5_000  # of one file
LONGEST = 30  # letters of a name
PAUSE = 20
"""Minutes from one answer to the next beyond which somebody did something else."""
_MINUTE = timedelta(minutes=1)
_NAMES = ("*.jsonl", "*/progress.jsonl", "*/*/progress.jsonl")


@dataclass(frozen=True)
class Learner:
    """One learner and all answers that can be judged, in the order in which they were given."""

    name: str
    answers: tuple[Answer, ...]

    def tries(self, exercise: str) -> list[Answer]:
        """Return the answers to an exercise as printed, practice apart."""
        return [a for a in self.answers if a.exercise == exercise and a.seed is None]

    def state(self, exercise: str) -> int:
        """Return 3 for right at the first try, 2 for right later, 1 for tried, 0 for nothing."""
        tries = [answer.right for answer in self.tries(exercise)]
        return 3 if tries[:1] == [True] else 2 if any(tries) else 1 if tries else 0

    def minutes(self, exercises: Sequence[str]) -> float | None:
        """Return the minutes spent on exercises that were all tried, else nothing.

        The time before each answer since the one before it, of whatever exercise: so what is read
        on the way counts. A longer wait is a pause, and what comes before the first answer of all
        is not known.
        """
        if not all(map(self.tries, exercises)):
            return None
        # Every record is written in UTC; a clock that went backwards leaves them out of order.
        timed = [(datetime.fromisoformat(a.when[:19]), a.exercise) for a in self.answers if a.when]
        steps = pairwise(sorted(timed))
        waits = [(now - then) / _MINUTE for (then, _), (now, name) in steps if name in exercises]
        return sum(wait for wait in waits if wait <= PAUSE) if waits else None


@dataclass(frozen=True)
class Class:
    """The learners, and one sentence for each file that is not what it should be."""

    learners: tuple[Learner, ...]
    complaints: tuple[str, ...]


@dataclass(frozen=True)
class Item:
    """One exercise in the class: how many tried it, were right, at once; the commonest slip.

    The slip is what a learner who made it was told, with the number of those who did.
    """

    exercise: str
    tried: int
    done: int
    at_once: int
    slip: str
    slips: int

    @property
    def share(self) -> float:
        """The share of those who tried that were right at the first try."""
        return self.at_once / self.tried


def read_class(folder: Path) -> Class:
    """Read every learner's progress below a folder."""
    if not folder.is_dir():
        raise LearnerError(f"There is no folder {folder}; name the one with the progress files.")
    paths = _files(folder)
    if not paths:
        raise LearnerError(
            f"There is no progress file in {folder}; put each learner's progress.jsonl into a "
            "folder with the learner's name, or give the file that name."
        )
    found: dict[str, list[Answer]] = {}
    complaints = [] if len(paths) <= FILES else [f"Only the first {FILES} files are read."]
    for path in paths[:FILES]:
        answers, complaint = _read(path, folder)
        if complaint:
            complaints.append(f"{_clean(str(path.relative_to(folder)), 80)}: {complaint}")
        found.setdefault(_name(path, folder), []).extend(answers)
    return Class(tuple(_learners(found)), tuple(complaints))


def _files(folder: Path) -> list[Path]:
    """Return the progress files, hidden ones apart, and each once."""
    places = [path.relative_to(folder) for name in _NAMES for path in sorted(folder.glob(name))]
    seen = [place for place in places if not any(part.startswith(".") for part in place.parts)]
    return [folder / place for place in dict.fromkeys(seen)]


def _learners(found: dict[str, list[Answer]]) -> Iterable[Learner]:
    """Yield those with answers; one whose file stands there twice is counted once."""
    names = [name for name, answers in found.items() if answers]
    for name in sorted(names)[:LEARNERS]:
        yield Learner(name, tuple(dict.fromkeys(found[name])))


def _name(path: Path, folder: Path) -> str:
    first = path.relative_to(folder).parts[0]
    return _clean(first.removesuffix(".jsonl") if path.parent == folder else first, LONGEST)


def _clean(text: str, longest: int) -> str:
    """Return a name without what could act on a screen: controls, marks of direction."""
    kept = "".join("?" if unicodedata.category(c)[0] in "CZ" and c != " " else c for c in text)
    return kept if len(kept) <= longest else f"{kept[: longest - 1]}…"


def _read(path: Path, folder: Path) -> tuple[list[Answer], str]:
    """Return the answers of one file, and what is wrong with it."""
    try:
        if not path.resolve().is_relative_to(folder.resolve()):
            return [], "it is a link that leads out of the folder, and is left out."
        if not S_ISREG(path.stat().st_mode):
            return [], "it is no ordinary file, and is left out."
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except (OSError, RuntimeError) as problem:  # the second for links in a ring
        return [], f"it cannot be read ({getattr(problem, 'strerror', None) or problem})."
    if len(data) > LARGEST:
        return [], f"it has more than {LARGEST / 1e6:.0f} MB, and is left out."
    return _judged(data)


def _judged(data: bytes) -> tuple[list[Answer], str]:
    lines = [line for line in data.removeprefix(b"\xef\xbb\xbf").split(b"\n") if line.strip()]
    records = [_record(line) for line in lines[:ANSWERS]]
    ours = [record for record in records if record.get("format") == FORMAT]
    answers, strange = read_answers(ours)
    newer = sum(map(_is_newer, records))
    lost = strange + len(lines) - len(ours) - newer
    if not answers and not newer:
        return [], "it holds no answer that can be read."
    update = f"a newer version of the course wrote {newer} of its lines; update this one."
    told = [update] if newer else []
    verb = "is" if lost == 1 else "are"
    told += [f"{lost} of its lines {verb} no answer that can be read."] if lost else []
    return answers, " ".join(told)


def _is_newer(record: dict) -> bool:
    name, _, number = FORMAT.rpartition(" ")
    theirs = re.fullmatch(rf"{name} (\d{{1,9}})", str(record.get("format")), re.ASCII)
    return theirs is not None and int(theirs[1]) > int(number)


def _record(line: bytes) -> dict:
    try:
        found = json.loads(line.decode())  # bytes alone might be taken for UTF-16
    except (ValueError, RecursionError):  # the second for brackets without end
        return {}
    return found if isinstance(found, dict) else {}


def items(group: Class) -> list[Item]:
    """Return each exercise that somebody tried, the hardest first; of equals, what stayed wrong."""
    found = [_item(name, group.learners) for name in bank.exercises()]
    return sorted(
        (item for item in found if item.tried),
        key=lambda item: (item.share, item.done / item.tried, -item.tried),
    )


def _item(name: str, learners: Iterable[Learner]) -> Item:
    states = [learner.state(name) for learner in learners]
    slips = Counter(
        says for one in learners for says in {a.verdict.says for a in one.tries(name) if a.slipped}
    )
    slip, times = next(iter(slips.most_common(1)), ("", 0))
    return Item(
        name, sum(s > 0 for s in states), sum(s > 1 for s in states), states.count(3), slip, times
    )
