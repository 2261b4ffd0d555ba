"""JupyterLab on the learner's workbook: this machine only, no internet, nothing left behind."""

import os
import secrets
import signal
import socket
import sys
from importlib.util import find_spec
from pathlib import Path
from urllib.parse import quote

from dampinglab.errors import LearnerError

__all__ = ["Course", "free_port"]

HOST = "127.0.0.1"
FIRST_PORT, PORTS_TRIED = 8888, 50
LOG = ".dampinglab-jupyterlab.log"
SETTINGS = Path(__file__).with_name("jupyter")


def free_port(wanted: int | None = None) -> int:
    """Return the wanted port, or the first free one when none is wanted."""
    for port in [wanted] if wanted else range(FIRST_PORT, FIRST_PORT + PORTS_TRIED):
        if _is_free(port):
            return port
    if wanted:
        raise LearnerError(
            f"Port {wanted} is in use, perhaps by the course already running; "
            f"stop that program or name another port, such as --port {wanted + 1}."
        )
    raise LearnerError("No free port was found from 8888 on; name one with --port.")


class Course:
    """A JupyterLab server that opens one lesson of a workbook.

    The server has its port from the moment it is made, so its address can be told before it runs.
    """

    def __init__(self, folder: Path, lesson: str, port: int, *, open_browser: bool) -> None:
        _require_kernel()
        _set_environment(folder)
        # Imported late: the environment above decides what JupyterLab finds as it is imported.
        from jupyterlab.labapp import LabApp

        token = secrets.token_hex(24)
        self.url = f"http://{HOST}:{port}/lab/tree/{quote(lesson)}?token={token}"
        options = _options(folder, lesson, port, token, open_browser)
        self._server = LabApp.initialize_server(argv=options)

    def run(self) -> None:
        """Serve until Ctrl-C, the end of the terminal, or a polite request to stop."""
        for name in ("SIGINT", "SIGTERM", "SIGHUP"):
            number = getattr(signal, name, None)
            # A signal that the caller has silenced, as nohup does, stays silenced.
            if number and signal.getsignal(number) is not signal.SIG_IGN:
                signal.signal(number, lambda *_: self._server.stop(from_signal=True))
        self._send_noise_away()
        self._server.start()

    def _send_noise_away(self) -> None:
        """Keep the terminal for the learner: JupyterLab and the kernels write to a file."""
        sys.stderr.flush()
        with (Path(self._server.root_dir) / LOG).open("w") as file:
            os.dup2(file.fileno(), 2)


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


def _set_environment(folder: Path) -> None:
    """Tell JupyterLab and the kernels where the settings and the workbook are."""
    paths = [str(SETTINGS), os.environ.get("JUPYTER_CONFIG_PATH", "")]
    os.environ["JUPYTER_CONFIG_PATH"] = os.pathsep.join(filter(None, paths))
    # The course's own Python runs the lessons, not a kernel that another project registered.
    os.environ["JUPYTER_PREFER_ENV_PATH"] = "1"
    os.environ["DAMPINGLAB_WORKBOOK"] = str(folder)


def _require_kernel() -> None:
    """Say so now if no lesson could run."""
    if find_spec("ipykernel") is None:
        raise LearnerError(
            "The part that runs the lessons (ipykernel) is missing; "
            f"add it with: {sys.executable} -m pip install ipykernel."
        )


def _is_free(port: int) -> bool:
    """Tell whether a server could listen on the port now."""
    with socket.socket() as probe:
        if os.name == "posix":  # a port closed a minute ago is free, as it is for the server
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError:
            return False
        return True
