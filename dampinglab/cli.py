"""The command line: start the course, work out a baseline, mark, look over a class."""

import argparse
import signal
import sys
from pathlib import Path
from typing import NoReturn

from dampinglab import __version__, serve, workbook
from dampinglab.errors import LearnerError

__all__ = ["main"]

_WIDE = 78  # letters of a progress line
_REQUIRED = "the following arguments are required"
_WANTED = {
    f"{_REQUIRED}: FILE": "name your vehicle sheet, a file that ends in .toml",
    f"{_REQUIRED}: FOLDER": "name the folder with the progress files of the class",
}


def main(arguments: list[str] | None = None) -> int:
    """Run one command and return its exit code: 0 done, 2 something for the user to mend."""
    chosen = _parser().parse_args(arguments)
    try:
        chosen.run(chosen)
    except LearnerError as problem:
        _say(str(problem), sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130
    return 0


def _say(text: str, stream=None) -> None:
    """Write one line to the terminal; nothing else in the package does."""
    stream = stream or sys.stdout
    stream.write(text + "\n")
    stream.flush()


class _Parser(argparse.ArgumentParser):
    """A parser that says what is wrong in one sentence."""

    def error(self, message: str) -> NoReturn:
        """End with one sentence in place of a page of usage."""
        message = _WANTED.get(message, message)
        self.exit(2, f"{message[:1].upper()}{message[1:]}; see {self.prog} --help.\n")


def _parser() -> argparse.ArgumentParser:
    """Return the parser of every command."""
    parser = _Parser(prog="dampinglab", description="A course on setting up adjustable dampers.")
    parser.add_argument("--version", action="version", version=f"dampinglab {__version__}")
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")
    _add_start(commands)
    _add_baseline(commands)
    _add_mark(commands)
    _add_class(commands)
    _add_handout(commands)
    check = commands.add_parser("selfcheck", help="see whether this installation is whole")
    check.set_defaults(run=_selfcheck)
    return parser


def _add_start(commands) -> None:
    """Describe the command that starts the course."""
    start = commands.add_parser("start", help="open the course in the browser")
    start.set_defaults(run=_start)
    start.add_argument(
        "--folder",
        type=Path,
        default=workbook.default_folder(),
        help="your own copy of the lessons (default: %(default)s)",
    )
    start.add_argument("--lesson", default="00", help="the lesson to open, such as 02")
    start.add_argument("--port", type=_port, help="the port to use (default: the first free one)")
    start.add_argument("--no-browser", action="store_true", help="only print the address")


def _add_baseline(commands) -> None:
    """Describe the command that gives a vehicle its first setting."""
    baseline = commands.add_parser(
        "baseline", help="frequencies, damping ratios and a first setting for your own vehicle"
    )
    baseline.set_defaults(run=_baseline)
    baseline.add_argument(
        "files",
        nargs="+",
        metavar="FILE",
        help="your vehicle sheet (.toml) and, if you have them, its dyno tables (.csv)",
    )
    baseline.add_argument("--picture", metavar="FILE", help="save the picture under this name")
    baseline.add_argument("--load", metavar="NAME", help="one load of the sheet, not all of them")


def _add_mark(commands) -> None:
    """Describe the command that marks a workbook."""
    mark = commands.add_parser(
        "mark", help="run the notebooks of a workbook, and say what is done and what is to do"
    )
    mark.set_defaults(run=_mark)
    mark.add_argument(
        "folder",
        nargs="?",
        type=Path,
        default=workbook.default_folder(),
        metavar="FOLDER",
        help="the workbook (default: %(default)s); what its notebooks say is run, so mark those "
        "of people you know",
    )


def _add_class(commands) -> None:
    """Describe the command that looks over a class."""
    group = commands.add_parser(
        "class", help="merge the progress files of many learners: who did what, and what is hard"
    )
    group.set_defaults(run=_class)
    group.add_argument(
        "folder",
        type=Path,
        metavar="FOLDER",
        help="holds a folder a learner with progress.jsonl in it, or a file NAME.jsonl a learner",
    )
    group.add_argument("--csv", type=Path, metavar="FILE", help="save the table under this name")
    group.add_argument("--picture", type=Path, metavar="FILE", help="save the picture as well")


def _port(text: str) -> int:
    """Read a port number."""
    if not text.isdecimal() or not 1 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"{text!r} is not a port number from 1 to 65535")
    return int(text)


def _start(chosen: argparse.Namespace) -> None:
    """Bring the workbook up to date and serve it until the learner stops it."""
    folder = chosen.folder.expanduser().resolve()
    lesson, port = workbook.find_lesson(chosen.lesson), serve.free_port(chosen.port)
    changes = workbook.refresh(folder)
    _say(f"Your workbook is {folder}.")
    for sentence in (*workbook.describe(changes), *serve.short_of_room(folder)):
        _say(sentence)

    def announce(url: str) -> None:
        _say(f"The course is at {url}")
        _say("Stop it with Ctrl-C in this window.")

    serve.run(folder, lesson, port, open_browser=not chosen.no_browser, announce=announce)
    _say(f"The course has stopped; your work is in {folder}.")


def _baseline(chosen: argparse.Namespace) -> None:
    """Write the bench sheet of a vehicle."""
    from dampinglab.job import run_baseline  # imported late: it brings scipy and the pictures

    _say(run_baseline(chosen.files, chosen.picture, chosen.load))


def _mark(chosen: argparse.Namespace) -> None:
    """Mark a workbook; a closed window ends it in the same way as Ctrl-C."""
    from dampinglab.training import run_mark  # imported late: it brings the whole course

    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.default_int_handler)
    progress = _Progress(sys.stderr)
    try:
        marked = run_mark(chosen.folder.expanduser().resolve(), progress.tell)
    finally:
        progress.tell("")
    _say(marked)


def _class(chosen: argparse.Namespace) -> None:
    """Look over a class."""
    from dampinglab.training import run_class  # imported late: it brings the whole course

    _say(run_class(chosen.folder.expanduser().resolve(), chosen.csv, chosen.picture))


def _selfcheck(chosen: argparse.Namespace) -> None:
    """Look over this installation."""
    from dampinglab.selfcheck import run  # imported late: it brings everything

    run(_say)
    _say("This installation is whole.")


class _Progress:
    """One line that changes while something works; without a screen, one line a step."""

    def __init__(self, stream) -> None:
        self.stream, self.screen, self.step = stream, stream.isatty(), ""

    def tell(self, text: str) -> None:
        """Show how far it is; without words, clear the line."""
        if self.screen:
            self.stream.write(f"\r{text[:_WIDE]:{_WIDE}}\r")
        elif text and (step := text.partition(", cell")[0]) != self.step:
            self.step = step
            self.stream.write(f"{step}\n")
        self.stream.flush()


def _add_handout(commands) -> None:
    """Describe the command that makes pages for paper."""
    handout = commands.add_parser("handout", help="make pages to print, of lessons and tables")
    handout.set_defaults(run=_handout)
    handout.add_argument("lessons", nargs="*", metavar="LESSON", help="such as 02 (default: all)")
    handout.add_argument(
        "--folder", type=Path, default=Path("handout"), help="where to (default: %(default)s)"
    )
    handout.add_argument(
        "--key", action="store_true", help="the instructor's pages: answers, slips, questions"
    )


def _handout(chosen: argparse.Namespace) -> None:
    """Write pages that print well, one after the other."""
    from dampinglab.printing import print_handouts  # imported late: it brings everything

    try:
        print_handouts(chosen.folder, chosen.lessons, _say, instructor=chosen.key)
    except KeyboardInterrupt:
        _say("Stopped; every page that was written is whole.", sys.stderr)
        raise
