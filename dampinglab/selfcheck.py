"""Looks over an installation: what the course needs is there, and computes what it should."""

import csv
import hashlib
import io
import json
import math
import platform
import time
import tomllib
from collections.abc import Callable
from importlib.metadata import version
from pathlib import Path
from tempfile import TemporaryDirectory

from dampinglab import __version__, data, workbook
from dampinglab.course import bank, nbval_run, words
from dampinglab.course.lessons import LESSONS
from dampinglab.course.nbval_watch import RAN
from dampinglab.course.verdict import RIGHT, judge
from dampinglab.errors import LearnerError
from dampinglab.figures.baseline import draw_baseline
from dampinglab.physics.vehicle import Corner
from dampinglab.workshop import demo
from dampinglab.workshop.baseline import Baseline, Ratios, baseline

__all__ = ["run"]

NEEDED = ("jupyterlab", "ipywidgets", "numpy", "scipy", "matplotlib", "nbval", "pytest")
PATIENCE = 60.0  # s for the kernel to start and judge an answer
AGREE = 1e-6  # share by which two ways to the same number may differ
_PANEL = "from dampinglab.panels import stand_panel\nstand_panel()"


def run(say: Callable[[str], None]) -> None:
    """Run every check and say a line of each; raise if one failed."""
    failed = [name for name, check in CHECKS.items() if not _passed(name, check, say)]
    if failed:
        raise LearnerError(
            f"This installation is not whole ({', '.join(failed)}); install it again."
        )


def _passed(name: str, check: Callable[[], str], say: Callable[[str], None]) -> bool:
    began = time.monotonic()
    try:
        told, good = check(), True
    except Exception as problem:  # noqa: BLE001  (what is broken may fail in any way)
        told, good = f"{type(problem).__name__}: {problem}".splitlines()[0], False
    took = time.monotonic() - began
    say(f"{'good  ' if good else 'FAILED'}  {name}: {told} ({took:.1f} s)")
    return good


def _expect(true: bool, words_: str) -> None:
    """Fail with words; `assert` would be silent where Python runs without it."""
    if not true:
        raise LearnerError(words_)


def _parts() -> str:
    found = ", ".join(f"{name} {version(name)}" for name in NEEDED)
    return f"dampinglab {__version__}, Python {platform.python_version()}, {found}"


def _datasets() -> str:
    pages = tomllib.loads(data.dataset("dictionary.toml").read_text("utf-8"))
    for name, page in pages.items():
        found = hashlib.sha256(data.dataset(name).read_bytes()).hexdigest()
        _expect(found == page["sha256"], f"{name} is not the file that was shipped")
    _expect(bool(pages), "the dictionary is empty")
    return f"{len(pages)} files, every checksum right"


def _lessons() -> str:
    there = [lesson for lesson in LESSONS if _of(lesson.number)]
    for lesson in there:
        found = json.loads((data.folder("lessons") / lesson.file).read_text("utf-8"))
        text = "\n".join("".join(cell["source"]) for cell in found["cells"])
        for name in _of(lesson.number):
            _expect(f'check("{name}", ...)' in text, f"{lesson.file} lacks exercise {name}")
            stated = words.statement(bank.exercises()[name])
            _expect(stated in text, f"{lesson.file} has another wording of exercise {name}")
    return f"{len(there)} lessons with all their exercises"


def _of(number: str) -> list[str]:
    return [name for name in bank.exercises() if name.partition(".")[0] == str(int(number))]


def _exercises() -> str:
    for name, exercise in bank.exercises().items():
        task = exercise.task()
        _expect(_outcome(task, task.answer) == RIGHT, f"the answer of {name} is not judged right")
        for slip in task.slips:
            _expect(_outcome(task, slip.answer) != RIGHT, f"a slip of {name} is judged right")
    return f"{len(bank.exercises())}, each answer judged right and each slip not"


def _outcome(task, value: float | str) -> str:
    return judge(task, words.written(task, value)).outcome


def _kernel() -> str:
    """Answer an exercise and open a panel in a real kernel, as when a workbook is marked."""
    task = bank.exercises()["0.1"].task()
    line = f'check("0.1", {words.written(task, task.answer)!r})'
    lines = ["from dampinglab.course import check", line, _PANEL]
    with TemporaryDirectory() as place:
        job = nbval_run.Job(Path(place), PATIENCE, time.monotonic() + 2 * PATIENCE)
        ran = nbval_run.run(lines, Path(place), job, lambda _: None)
    _expect(any(answer.right for answer in ran.answers), "no kernel judged the answer of 0.1")
    _expect(ran.steps.get(2) == (RAN, ""), "the kernel could not open a panel")
    return "a kernel started, opened a panel, and nbval marked an exercise in it"


def _workbook() -> str:
    with TemporaryDirectory() as place:
        new = workbook.refresh(Path(place)).new
    _expect(any(name.endswith(".ipynb") for name in new), "a workbook is filled without lessons")
    return f"a workbook is filled with {len(new)} files"


def _baseline() -> Baseline:
    return baseline(demo.vehicle(), {axle: demo.damper(axle) for axle in ("front", "rear")})


def _job() -> str:
    """Work out the demo wagon's baseline, and its front by hand from the sheet and the table."""
    axle = tomllib.loads(data.dataset("vehicles/wagon.toml").read_text("utf-8"))["front"]
    case = _baseline().axles[0].cases[0]
    critical, pairs = _by_hand(axle, case.corner)
    forces = _forces(case.ratios[0])
    for reading in case.ratios[0].readings:
        coefficient = forces[round(1e3 * reading.speed)] / reading.speed
        ratio = coefficient * axle["damper_motion_ratio"] ** 2 / critical
        pairs[f"damping ratio at {reading.speed:g} m/s"] = (reading.least, ratio)
    for name, (ours, by_hand) in pairs.items():
        _expect(math.isclose(ours, by_hand, rel_tol=AGREE), f"{name} is {ours}, by hand {by_hand}")
    return f"{len(pairs)} numbers of the demo wagon agree with those worked out by hand"


def _by_hand(axle: dict, corner: Corner) -> tuple[float, dict[str, tuple[float, float]]]:
    """Return critical damping, and each number of a corner beside its closed form."""
    mass = (axle["left_wheel_kg"] + axle["right_wheel_kg"]) / 2 - axle["unsprung_kg"]
    rate = 1e3 * axle["spring_rate_N_per_mm"] * axle["spring_motion_ratio"] ** 2
    both = 1 / (1 / rate + 1 / (1e3 * axle["tyre_rate_N_per_mm"]))
    critical = 2 * math.sqrt(rate * mass)
    return critical, {
        "wheel rate": (corner.wheel_rate, rate),
        "frequency": (corner.body_frequency, math.sqrt(rate / mass) / math.tau),
        "frequency with the tyre": (corner.ride_frequency, math.sqrt(both / mass) / math.tau),
        "critical damping": (corner.critical_damping, critical),
    }


def _forces(ratios: Ratios) -> dict[int, float]:
    """Return the front's measured forces at one setting, by shaft speed in mm/s."""
    text = data.dataset("dyno/wagon_three_adjuster.csv").read_text("utf-8")
    rows = csv.reader(line for line in text.splitlines() if not line.startswith("#"))
    wanted = ["front", *map(str, ratios.setting)]
    return {int(row[4]): float(row[5]) for row in rows if row[:4] == wanted}


def _figures() -> str:
    """Draw the bench sheet's picture, and see that it is not blank."""
    file = io.BytesIO()
    draw_baseline(_baseline()).savefig(file, format="rgba")
    raw = file.getvalue()
    paper, pixels = raw[:4], len(raw) // 4
    inked = sum(raw[start : start + 4] != paper for start in range(0, len(raw), 4)) / pixels
    _expect(0.01 < inked < 0.9, f"{inked:.0%} of the picture is inked")
    return f"a picture of {pixels / 1e6:.1f} million points, {inked:.0%} of them inked"


CHECKS = {
    "parts": _parts,
    "data": _datasets,
    "lessons": _lessons,
    "exercises": _exercises,
    "main job": _job,
    "pictures": _figures,
    "workbook": _workbook,
    "JupyterLab's kernel": _kernel,
}
"""Each check returns what it found, and raises where something is wrong."""
