"""The learner's folder as the working tool sees it: what is written, and what follows from it."""

from collections.abc import Callable, Mapping
from pathlib import Path

from dampinglab.errors import FileProblem, LearnerError
from dampinglab.figures.look import DESK
from dampinglab.physics.vehicle import Vehicle
from dampinglab.workshop.corners import Clicks
from dampinglab.workshop.day import Day, history
from dampinglab.workshop.method import text
from dampinglab.workshop.own import read_own, save_own
from dampinglab.workshop.own_dampers import clicks_as_found, known_dampers, with_clicks
from dampinglab.workshop.own_sheet import own_vehicle
from dampinglab.workshop.sheet import read_ratings, read_vehicle
from dampinglab.workshop.text import quoted

__all__ = ["SOURCES", "Bench"]

_TYPED, _FILE = "typed here", "a sheet that I wrote: vehicle.toml"
SOURCES = (_TYPED, _FILE)
"""Where the vehicle may come from."""

_NOT_SAVED = "Not saved yet, and kept here until it is."
_LONGEST = 250  # letters of a file's name
_DEPTHS = ("*.csv", "*/*.csv", "demo/*/*.csv")  # not all of what may lie below a home folder
_MOST_FILES = 200  # offered by name


class Bench:
    """What is written, saved on every change, and vehicle, dampers and day that follow from it."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.path = folder, folder / "own.json"
        self.trials, self.card = folder / "trials.jsonl", folder / "card.json"
        self.waiting: dict[str, str] = {}
        self.size = DESK
        self.listeners: list[Callable[[], None]] = []
        try:
            kept = read_own(self.path)
            self.written, self.told = kept.written, " ".join(kept.told)
        except LearnerError as trouble:
            self.written, self.told = {}, str(trouble)

    def get(self, name: str, other: str = "") -> str:
        """Return the text of a box."""
        return self.written.get(name) or other

    def put(self, changes: Mapping[str, str]) -> None:
        """Keep new texts, save them with those that wait, and tell the steps."""
        fresh = {name: text(value, "This text") for name, value in changes.items()}
        self.written = {**self.written, **fresh}
        self.waiting |= fresh
        try:
            self.written = save_own(self.path, self.waiting).written
            self.waiting, self.told = {}, ""
        except LearnerError as trouble:
            self.told = f"{_NOT_SAVED} {trouble}"
        self.tell()

    def tell(self) -> None:
        """Let all who listen look again."""
        for listener in self.listeners:
            listener()

    def day(self) -> Day | None:
        """Return the test day, or None before the clicks as found were recorded."""
        if not self.trials.exists() or not self.trials.stat().st_size:
            return None
        try:
            return history(self.trials)
        except FileProblem as trouble:
            mend = "give it another name, then record the clicks as found anew (step 2)"
            raise FileProblem(self.trials, trouble.what, mend) from None

    def counted(self) -> tuple[Clicks, Clicks]:
        """Return how many clicks there are in all and how they stand; empty before the count."""
        if day := self.day():
            return day.totals, day.setting
        try:
            return clicks_as_found(self.written)
        except LearnerError:
            return {}, {}

    def clicks(self) -> Clicks | None:
        """Return the setting as it stands, or None before it was counted."""
        return self.counted()[1] or None

    def vehicle(self) -> Vehicle:
        """Return the vehicle at its setting of now."""
        own = self.sheet()
        vehicle = read_vehicle(own) if own else own_vehicle(self.written)
        clicks = self.clicks()
        return with_clicks(vehicle, clicks) if clicks else vehicle

    def sheet(self) -> Path | None:
        """Return the sheet that the learner wrote by hand, if it is to be taken."""
        if self.get("vehicle from", _TYPED) != _FILE:
            return None
        return self.folder / self.get("vehicle file", "vehicle.toml")

    def dampers(self) -> dict:
        """Return what is known of the dampers of this vehicle's axles."""
        own = self.sheet()
        rated = read_ratings(own) if own else {}
        axles = self.vehicle().axles
        known = rated | known_dampers(self.folder, self.written)
        return {axle: damper for axle, damper in known.items() if axle in axles}

    def named(self, name: str) -> Path | None:
        """Return the file that a box names, or None."""
        written = self.get(name).strip(" \"'")
        if len(written) > _LONGEST or "\n" in written:
            raise LearnerError(f"{quoted(written)} is no name of a file: choose one of the list.")
        return self.folder / written if written else None

    def lies(self, name: str) -> bool:
        """Return whether the file that a box names lies in the folder."""
        path = self.named(name)
        return path is not None and path.exists()

    def files(self) -> list[str]:
        """Return the tables that lie in the folder, to be chosen by name."""
        found = [path for depth in _DEPTHS for path in self.folder.glob(depth)]
        names = [path.relative_to(self.folder).as_posix() for path in found]
        return sorted(name for name in names if not name.startswith("."))[:_MOST_FILES]
