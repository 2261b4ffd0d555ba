"""The main job from files to a page: a vehicle sheet and dyno tables in, a bench sheet out."""

from pathlib import Path

from dampinglab.errors import FileProblem, LearnerError, OutOfRange
from dampinglab.figures.baseline import alt_text, draw_baseline
from dampinglab.physics.damper import MeasuredDamper
from dampinglab.physics.vehicle import Vehicle
from dampinglab.workshop.baseline import baseline
from dampinglab.workshop.dyno import read_dyno
from dampinglab.workshop.report import report
from dampinglab.workshop.sheet import read_ratings, read_vehicle, sheet_problem
from dampinglab.workshop.start import named_setting
from dampinglab.workshop.text import nearest

__all__ = ["run_baseline", "save_picture"]

# Endings that a picture may have, and where each kind keeps its description in words.
_PICTURES = {".png": "Description", ".svg": "Description", ".pdf": "Subject"}


def run_baseline(
    arguments: list[str | Path], picture: str | Path | None = None, load: str | None = None
) -> str:
    """Return the bench sheet of a vehicle sheet and its dyno tables; save the picture if asked."""
    sheet, tables = _sorted(arguments)
    vehicle = read_vehicle(sheet)
    names = [case.name for case in vehicle.loads]
    if load is not None and load not in names:
        mend = nearest(load, names) if names else "leave the load out"
        raise FileProblem(sheet, f"it has no load {load!r}", mend)
    dampers = read_ratings(sheet) | _measured(vehicle, tables)
    _check_settings(sheet, vehicle, dampers)
    result = baseline(vehicle, dampers)
    if picture is not None:
        save_picture(draw_baseline(result, load), Path(picture), alt_text(result, load))
    return report(result, load)


def _sorted(arguments: list[str | Path]) -> tuple[Path, list[Path]]:
    """Tell the vehicle sheet from the tables by its ending."""
    paths = [Path(each) for each in arguments]
    sheets = [path for path in paths if path.suffix.lower() == ".toml"]
    if len(sheets) != 1:
        raise LearnerError(
            f"Name one vehicle sheet, a file that ends in .toml, and any dyno tables behind it; "
            f"{len(sheets) or 'no'} such file was named."
        )
    return sheets[0], [path for path in paths if path != sheets[0]]


def _measured(vehicle: Vehicle, tables: list[Path]) -> dict[str, MeasuredDamper]:
    """Read every dyno table, and give each axle its damper."""
    dampers: dict[str, MeasuredDamper] = {}
    for path in tables:
        mine = {axle: d for axle, d in read_dyno(path).items() if axle in vehicle.axles}
        if not mine:
            has = " and ".join(vehicle.axles)
            what = f"it is for no axle of {vehicle.name}, whose sheet has the {has} axle"
            raise FileProblem(path, what, "name the table that belongs to this vehicle")
        twice = [axle for axle in mine if axle in dampers]
        if twice:
            what = f"another table has already given the {twice[0]} axle its damper"
            raise FileProblem(path, what, "name one table for each axle")
        dampers |= mine
    return dampers


def _check_settings(sheet: Path, vehicle: Vehicle, dampers: dict) -> None:
    """Refuse a setting on the sheet that the damper cannot have, with the sheet's row."""
    for name, axle in vehicle.axles.items():
        for kind, clicks in (("as_found", axle.as_found), ("maker", axle.maker)):
            if clicks and isinstance(dampers.get(name), MeasuredDamper):
                try:
                    named_setting(dampers[name], clicks)
                except OutOfRange as problem:
                    raise sheet_problem(sheet, name, kind, str(problem)) from None


def save_picture(figure, path: Path, words: str) -> None:
    """Write a picture under a new name, with its alternative text inside."""
    field = _PICTURES.get(path.suffix.lower())
    if field is None:
        what = "a picture of this kind cannot be made"
        raise FileProblem(path, what, f"end its name in {', '.join(_PICTURES)}")
    if path.exists():
        raise FileProblem(path, "this file is there already and stays", "choose another name")
    try:
        figure.savefig(path, metadata={field: words})
    except OSError:
        mend = "choose a folder that exists and that you may write to"
        raise FileProblem(path, "the picture cannot be written there", mend) from None
