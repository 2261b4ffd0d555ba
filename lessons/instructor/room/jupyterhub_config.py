"""One machine serves a room: JupyterHub on Linux, a workbook a seat. How to use it: room.md.

Everything lies in one folder, ~/dampinglab-room or what DAMPINGLAB_ROOM names: room.toml (the
settings), seat1, seat2 and so on (the workbooks), .hub (what JupyterHub keeps, and its log).
"""

import atexit
import fcntl
import getpass
import os
import shutil
import signal
import socket
import sys
import tempfile
from dataclasses import dataclass
from ipaddress import IPv4Address
from pathlib import Path

from dampinglab import serve, workbook
from dampinglab.errors import FileProblem, LearnerError
from dampinglab.workshop.section import Key, Section, read_sections

PROXY = "configurable-http-proxy"
LOCKS = []
LEAST = 8  # characters; JupyterHub takes no shorter password either
NUMBERS = (
    Key("seats", 1, 40, "a room with more seats needs another machine"),
    Key("port", 1024, 65000, "8000 is the usual one"),
)

NOTICE = """
ALL SEATS ARE ONE SYSTEM USER, "{user}". A learner at one seat can read, change and delete the
files of every other seat, and do whatever else that user can on this machine. That is good
enough where the people in the room trust one another. Where learners must be kept apart, stop
here and use The Littlest JupyterHub instead; room.md says how.
"""
AS_ROOT = """
YOU ARE ROOT, so a learner can do anything to this machine. Make a user for the room.
"""
OPENING = """
The workbooks of seat1 to seat{seats} are in {folder}.
In a few seconds they open at http://{address}:{port}/ with the password of room.toml.
{reach}
Stop with Ctrl-C in this window. If the room stops by itself, the end of this file says why:
{log}
"""
HERE = "Only browsers on this machine reach it."
OUTSIDE = "Whoever is on that network and has the password can run programs on this machine."
STOPPED = "\nThe room has stopped; everybody's work is in {folder}.\n"
AT_THE_DOOR = (
    "Username: your seat, such as seat3; one person a seat. "
    "The password is the same for all: ask your instructor."
)


@dataclass(frozen=True)
class Room:
    """What room.toml asks for.

    The ports after `port` are used as well, on loopback: two by JupyterHub, then one a seat.
    """

    folder: Path
    password: str
    address: str
    port: int = 8000
    seats: int = 6

    @property
    def names(self) -> list[str]:
        """The seats: login names, and names of their folders."""
        return [f"seat{number}" for number in range(1, self.seats + 1)]

    @property
    def hub(self) -> Path:
        """Where JupyterHub keeps its own files."""
        return self.folder / ".hub"

    @property
    def proxy_pid(self) -> Path:
        """The file that is there while a proxy runs."""
        return self.hub / "proxy.pid"


def read_room(folder: Path) -> Room:
    """Read room.toml, or say in one sentence what is wrong with it."""
    file = folder / "room.toml"
    if not file.exists():
        raise LearnerError(
            f'There is no {file}: make it, with one line in it, password = "...", '
            f"a password of your own of {LEAST} characters or more."
        )
    top = read_sections(file)
    numbers = top.numbers(NUMBERS, ("password", "address"))
    for name, number in numbers.items():
        if number % 1:
            raise top.problem(f"{name} = {number:g} is not whole", "write a whole number", name)
    whole = {name: int(number) for name, number in numbers.items()}
    return Room(folder, _password(top), _address(top), **whole)


def _password(top: Section) -> str:
    """Return the instructor's password; there is no default."""
    given = top.entries.get("password", "")
    what = None
    if not isinstance(given, str) or not given.strip():
        what = "there is no password in quotes"
    elif len(given) < LEAST:
        what = f"the password has only {len(given)} characters"
    elif not given.isascii() or not given.isprintable() or given != given.strip():
        what = "the password has an accent, or a space at one end, which somebody will mistype"
    if what:
        mend = f'write password = "...", with {LEAST} or more plain letters and digits'
        raise top.problem(what, mend, "password")
    return given


def _address(top: Section) -> str:
    """Return the address to serve at: loopback, unless told one of this machine's own."""
    given = top.entries.get("address", serve.HOST)
    try:
        address = IPv4Address(given if isinstance(given, str) else "")
    except ValueError:
        address = None
    if address is None or address.is_unspecified:
        mend = 'write one of this machine\'s own, such as "192.168.1.10", or leave it out'
        raise top.problem(f"{given!r} is not one address", mend, "address")
    return str(address)


def find_proxy() -> str:
    """Return the command of the proxy, beside this Python or anywhere on the path."""
    beside = str(Path(sys.executable).parent)
    found = shutil.which(PROXY, path=os.pathsep.join([beside, os.environ.get("PATH", "")]))
    if not found or not shutil.which("node"):
        raise LearnerError(f"{PROXY} or node is missing; room.md has the lines that install them.")
    return found


def take(room: Room) -> None:
    """Make the room's folder our own, and refuse before anything starts what cannot be had."""
    try:
        room.hub.mkdir(mode=0o700, exist_ok=True)
        # Held until this process ends, however it ends.
        LOCKS.append((room.hub / "lock").open("w"))
        fcntl.flock(LOCKS[-1], fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise LearnerError(f"The room in {room.folder} is open already; stop it first.") from None
    except OSError as problem:
        raise LearnerError(f"{room.hub} cannot be written ({problem.strerror}).") from None
    if room.proxy_pid.exists():
        return  # JupyterHub was killed here: it stops its old proxy and finds its seats again
    for host, after in ((room.address, 0), (serve.HOST, 1), (serve.HOST, 2)):
        try:
            with socket.socket() as probe:
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
                probe.bind((host, room.port + after))
        except OSError as problem:
            raise FileProblem(
                room.folder / "room.toml",
                f"{host} with port {room.port + after} cannot be used ({problem.strerror})",
                "name another port, or as address one that `ip -brief address` shows",
            ) from None


def tell(room: Room) -> None:
    """Say what is about to start, and keep the terminal for the instructor from then on."""
    log = room.hub / "log"
    reach = HERE if IPv4Address(room.address).is_loopback else OUTSIDE
    sys.stdout.write(NOTICE.format(user=getpass.getuser()))
    sys.stdout.write(AS_ROOT if os.geteuid() == 0 else "")
    sys.stdout.write(OPENING.format(**vars(room), reach=reach, log=log))
    sys.stdout.flush()
    terminal = os.dup(1)
    atexit.register(os.write, terminal, STOPPED.format(folder=room.folder).encode())
    with log.open("a") as file:
        os.dup2(file.fileno(), 1)
        os.dup2(file.fileno(), 2)


def configure(c, room: Room, proxy: str) -> None:
    """Give JupyterHub its settings."""
    c.JupyterHub.bind_url = f"http://{room.address}:{room.port}"
    c.JupyterHub.hub_bind_url = f"http://{serve.HOST}:{room.port + 1}"
    c.JupyterHub.log_level = "WARN"
    c.ConfigurableHTTPProxy.command = [proxy]
    c.ConfigurableHTTPProxy.api_url = f"http://{serve.HOST}:{room.port + 2}"
    c.ConfigurableHTTPProxy.log_level = "warn"
    # Kept over a restart, so that who was logged in still is.
    c.JupyterHub.cookie_secret_file = str(room.hub / "cookie_secret")
    c.JupyterHub.db_url = f"sqlite:///{room.hub / 'jupyterhub.sqlite'}"
    c.ConfigurableHTTPProxy.pid_file = str(room.proxy_pid)

    c.JupyterHub.template_vars = {"announcement_login": AT_THE_DOOR}
    c.JupyterHub.authenticator_class = door()
    c.SharedPasswordAuthenticator.user_password = room.password
    c.Authenticator.allowed_users = set(room.names)

    c.JupyterHub.spawner_class = "simple"
    c.SimpleLocalProcessSpawner.home_dir_template = str(room.folder / "{username}")
    c.Spawner.cmd = [sys.executable, "-m", "jupyterhub.singleuser"]
    c.Spawner.args = [
        "--Application.log_level=WARN",
        "--ServerApp.allow_root=True",
        # Not TCP: seats that start kernels at the same moment would take each other's ports.
        "--KernelManager.transport=ipc",
    ]
    short = tempfile.mkdtemp(prefix="room-")  # the name of a socket may have 107 letters
    atexit.register(shutil.rmtree, short, ignore_errors=True)
    own = {
        "DAMPINGLAB_WORKBOOK": lambda spawner: spawner.home_dir,
        "JUPYTER_RUNTIME_DIR": lambda spawner: f"{short}/{spawner.user.name}",
    }
    c.Spawner.environment = serve.environment(room.folder) | own
    ports = {name: room.port + 3 + place for place, name in enumerate(room.names)}
    c.Spawner.pre_spawn_hook = lambda spawner: setattr(spawner, "port", ports[spawner.user.name])
    c.Spawner.default_url = f"/lab/tree/{workbook.find_lesson('00')}"
    # A whole room that opens at once on two processors takes its time.
    c.Spawner.start_timeout = c.Spawner.http_timeout = 180


def door() -> type:
    """Return JupyterHub's shared password, which must not fall over a letter with an accent."""
    from jupyterhub.authenticators.shared import SharedPasswordAuthenticator

    class Door(SharedPasswordAuthenticator):
        async def authenticate(self, handler, data):
            return await super().authenticate(handler, data) if data["password"].isascii() else None

    return Door


def main(c) -> None:
    """Check everything, say what it means, and only then let JupyterHub start."""
    folder = Path(os.environ.get("DAMPINGLAB_ROOM", "~/dampinglab-room")).expanduser().resolve()
    try:
        room, proxy = read_room(folder), find_proxy()
        take(room)
        for name in room.names:  # what a learner changed there is not touched
            workbook.refresh(room.folder / name)
    except LearnerError as problem:
        sys.exit(str(problem))
    configure(c, room, proxy)
    tell(room)
    os.chdir(room.hub)
    # A closed window stops the room as Ctrl-C does: else the seats would run on without it.
    signal.signal(signal.SIGHUP, lambda *_: os.kill(os.getpid(), signal.SIGTERM))


if "get_config" in globals():  # read by JupyterHub, and not by a test
    main(get_config())  # noqa: F821
