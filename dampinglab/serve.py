"""JupyterLab on the learner's workbook: this machine only, no internet, nothing left behind."""

import asyncio
import os
import secrets
import shutil
import signal
import socket
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from importlib.util import find_spec
from pathlib import Path
from urllib.parse import quote

from dampinglab.errors import LearnerError

__all__ = ["environment", "free_port", "run", "short_of_room"]

HOST = "127.0.0.1"
FIRST_PORT, PORTS_TRIED = 8888, 50
LOG = ".dampinglab-jupyterlab.log"
LEAST_FREE = 50e6  # bytes: with less a lesson may not open, run or be saved
KEPT_AT_HOME = (
    "JUPYTER_CONFIG_DIR",
    "JUPYTER_DATA_DIR",
    "JUPYTER_RUNTIME_DIR",
    "IPYTHONDIR",
    "MPLCONFIGDIR",
)
SETTINGS = Path(__file__).with_name("jupyter")


def free_port(wanted: int | None = None) -> int:
    """Return the wanted port, or the first free one when none is wanted."""
    ports = [wanted] if wanted else range(FIRST_PORT, FIRST_PORT + PORTS_TRIED)
    for port in ports:
        problem = _bar_to(port)
        if problem is None:
            return port
    raise LearnerError(
        f"Port {port} cannot be used ({problem}), perhaps because the course already runs there; "
        f"name another one, such as --port {port + 1 if port < 65535 else FIRST_PORT}."
    )


def short_of_room(folder: Path) -> list[str]:
    """Return a warning where the disk of the workbook, or of the home folder, is nearly full."""
    for place in (folder, Path.home()):  # a kernel keeps files of its own at home
        with suppress(OSError):
            free = shutil.disk_usage(place).free
            if free < LEAST_FREE:
                return [
                    f"Only {free / 1e6:.0f} MB are free on the disk of {place}: make room before "
                    "you begin, for a lesson may not open, run or be saved."
                ]
    return []


def run(
    folder: Path, lesson: str, port: int, *, open_browser: bool, announce: Callable[[str], None]
) -> None:
    """Serve one workbook until it is stopped; announce the address once it answers."""
    _require_kernel()
    os.environ.update(environment(folder))
    os.environ.update(_beside_the_lessons(folder))
    os.chdir(folder)  # where a terminal opened in JupyterLab starts
    token = secrets.token_hex(24)
    with _noise_in(folder / LOG):
        # Imported late: the environment set above decides what JupyterLab finds.
        from jupyterlab.labapp import LabApp

        server = LabApp.initialize_server(argv=_options(folder, lesson, port, token, open_browser))
        _stop_on_signals(server)
        _end_every_kernel(server)
        url = f"http://{HOST}:{port}/lab/tree/{quote(lesson)}?token={token}"
        server.io_loop.add_callback(announce, url)
        server.start()


@contextmanager
def _noise_in(log: Path) -> Iterator[None]:
    """Keep the terminal for the learner: JupyterLab and the kernels write to a file."""
    sys.stderr.flush()
    terminal = os.dup(2)
    with log.open("w") as file:
        os.dup2(file.fileno(), 2)
    try:
        yield
    except (SystemExit, OSError):
        raise LearnerError(f"JupyterLab did not start; {log} says why.") from None
    finally:
        os.dup2(terminal, 2)
        os.close(terminal)


def _stop_on_signals(server) -> None:
    """Stop in the same way on Ctrl-C, on a closed terminal, and when asked politely."""
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        # A signal that the caller has silenced, as nohup does, stays silenced.
        if number and signal.getsignal(number) is not signal.SIG_IGN:
            signal.signal(number, lambda *_: server.stop(from_signal=True))


def _end_every_kernel(server) -> None:
    """Let the server stop also after a kernel that could not start, as on a full disk."""
    end = server.cleanup_kernels

    async def end_all() -> None:
        try:
            await end()
        except Exception:  # noqa: BLE001  (it waits for that kernel, and gives up on the others)
            kernels = server.kernel_manager
            ended = map(kernels.shutdown_kernel, kernels.list_kernel_ids())
            await asyncio.gather(*ended, return_exceptions=True)

    server.cleanup_kernels = end_all


def _options(folder: Path, lesson: str, port: int, token: str, open_browser: bool) -> list[str]:
    """Return JupyterLab's options; as arguments they win over any file of the learner's."""
    options = {
        "ServerApp.ip": HOST,
        "ServerApp.port": port,
        "ServerApp.port_retries": 0,
        "ServerApp.root_dir": folder,
        "ServerApp.open_browser": open_browser,
        "ServerApp.allow_remote_access": False,
        # A container has no other user, and a page on this machine behind a token harms nobody.
        "ServerApp.allow_root": True,
        "Application.log_level": "WARN",
        "IdentityProvider.token": token,
        "LabApp.default_url": f"/lab/tree/{quote(lesson)}",
        # Other projects' open documents stay out of the course, and the course out of theirs.
        "LabApp.workspaces_dir": folder / ".dampinglab-workspaces",
    }
    return [f"--{name}={value}" for name, value in options.items()]


def environment(folder: Path) -> dict[str, str]:
    """Return what tells JupyterLab and the kernels where the settings and the workbook are."""
    return {
        "JUPYTER_CONFIG_PATH": _first("JUPYTER_CONFIG_PATH", SETTINGS),
        # The kernel of the course answers a mistyped line in a sentence from the first cell on.
        "JUPYTER_PATH": _first("JUPYTER_PATH", SETTINGS),
        # A terminal opened in JupyterLab finds the course's commands.
        "PATH": _first("PATH", Path(sys.executable).parent),
        # The course's own Python runs the lessons, not a kernel that another project registered.
        "JUPYTER_PREFER_ENV_PATH": "1",
        "DAMPINGLAB_WORKBOOK": str(folder),
    }


def _beside_the_lessons(folder: Path) -> dict[str, str]:
    """Return where JupyterLab keeps its own files when the home folder takes none."""
    if os.access(Path.home(), os.W_OK):
        return {}
    kept = folder / ".dampinglab-home"
    return {name: os.environ.get(name, str(kept / name)) for name in KEPT_AT_HOME}


def _first(variable: str, place: Path) -> str:
    """Return a search path with a folder before all others."""
    return os.pathsep.join(filter(None, [str(place), os.environ.get(variable)]))


def _require_kernel() -> None:
    """Say so now if no lesson could run."""
    if find_spec("ipykernel") is None:
        raise LearnerError(
            "The part that runs the lessons (ipykernel) is missing; "
            f"add it with: {sys.executable} -m pip install ipykernel."
        )


def _bar_to(port: int) -> str | None:
    """Return why a server could not listen on the port now, or None if it could."""
    with socket.socket() as probe:
        if os.name == "posix":  # a port closed a minute ago is free, as it is for the server
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError as problem:
            return problem.strerror
        return None
