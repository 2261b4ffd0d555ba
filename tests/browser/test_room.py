"""One machine serves a room of six, in six browser windows at once; slow, so .ci/long runs it.

Wants jupyterhub (extra "classroom") and configurable-http-proxy beside it or on the path. The
tests are steps of one evening, in order. `-s` shows what was measured.
"""

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from importlib.util import find_spec
from pathlib import Path
from urllib.error import URLError
from urllib.parse import urlparse
from urllib.request import urlopen

import pytest

from tests.browser.conftest import IDLE, READY, RUN_ALL, SLOW, OpenNotebook
from tests.conftest import any_free_port

CONFIG = Path(__file__).parents[2] / "lessons" / "instructor" / "room" / "jupyterhub_config.py"
PASSWORD = "bleed screw 19"
SEATS = 6
PATIENCE = 180_000
PATH = os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])


def why_not():
    """Return why no room can be opened here, or an empty text."""
    if os.environ.get("DAMPINGLAB_LONG") != "1":
        return "slow: opens a room of six"
    missing = [
        name for name in ("configurable-http-proxy", "node") if not shutil.which(name, path=PATH)
    ]
    if find_spec("jupyterhub") is None:
        missing.append("jupyterhub")
    return f"not installed: {', '.join(missing)}" if missing else ""


pytestmark = pytest.mark.skipif(bool(why_not()), reason=why_not())

# Runs in each page by itself, so that no seat waits for another: notes when the lesson can be
# used and when its first picture stands there, in milliseconds of the machine's clock.
NOTE_TIMES = f"""(async () => {{
  if (!location.pathname.includes('/lab/tree/')) return;
  window.noted = {{}};
  await ({READY})();
  window.noted.ready = Date.now();
  await ({RUN_ALL})();
  const picture = () => document.querySelector('img.dl-picture');
  while (!(picture() && picture().complete && picture().naturalWidth))
    await new Promise(done => setTimeout(done, 20));
  window.noted.picture = Date.now();
}})()"""
# From a key on the slider to the frame in which both picture and words are new.
PRESS = """presses => { window.spent = null; (async () => {
  const panel = document.querySelector('.dl-panel'), out = [];
  const handle = panel.querySelectorAll('.noUi-handle')[1];  // the shaft's speed
  const shown = () => panel.querySelector('img.dl-picture').src;
  const words = () => panel.querySelector('.dl-words').innerText;
  const pause = time => new Promise(done => setTimeout(done, time));
  for (let i = 0; i < presses; i++) {
    await pause(250);
    const picture = shown(), told = words(), start = performance.now();
    const key = i < presses / 2 ? 'ArrowRight' : 'ArrowLeft';
    handle.dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true}));
    while (shown() === picture || words() === told) {
      if (performance.now() - start > 5000) break;
      await new Promise(done => requestAnimationFrame(done));
    }
    out.push(performance.now() - start);
  }
  window.spent = out;
})(); }"""


class Evening:
    """A running room: its process, its folder, what it said."""

    def __init__(self, folder, before=()):
        self.folder = folder
        self.said = folder / "said"
        words = [*before, sys.executable, "-m", "jupyterhub", "-f", str(CONFIG)]
        own = {"DAMPINGLAB_ROOM": str(folder), "PATH": PATH}
        with self.said.open("w") as file:
            self.process = subprocess.Popen(
                words, env={**os.environ, **own}, stdout=file, stderr=file, cwd=folder
            )

    def words(self):
        return self.said.read_text()

    def root(self):
        """Wait until the room answers; return its address."""
        until = time.monotonic() + 60
        while time.monotonic() < until and self.process.poll() is None:
            found = re.search(r"open at (http://\S+)/ with", self.words())
            if found and answers(found[1]):
                return found[1]
            time.sleep(0.1)
        raise AssertionError(self.words() + (self.folder / ".hub" / "log").read_text())

    def processes(self, seat=""):
        """Return the commands of the processes that belong to the room, or to one seat, by id."""
        mark = f"HOME={self.folder / seat}\0" if seat else str(self.folder)
        return {
            int(entry.name): (entry / "cmdline").read_bytes().decode().replace("\0", " ")
            for entry in Path("/proc").glob("[0-9]*")
            if mark.encode() in contents(entry / "environ")
        }

    def end(self, number=signal.SIGTERM):
        """Send a signal; return the exit code and the seconds it took."""
        began = time.monotonic()
        self.process.send_signal(number)
        return self.process.wait(60), time.monotonic() - began

    def work(self):
        """Return what lies in every seat: answers typed into lesson 00, lines of progress."""
        return {
            name: (answers_in(self.folder / name), progress(self.folder / name)) for name in NAMES
        }


NAMES = [f"seat{number}" for number in range(1, SEATS + 1)]


def contents(file):
    try:
        return file.read_bytes()
    except OSError:
        return b""


def answers(root):
    try:
        return b"Sign in" in urlopen(root + "/hub/login", timeout=5).read()
    except OSError:
        return False


def answers_in(seat):
    cells = json.loads((seat / "00-start-here.ipynb").read_text())["cells"]
    return [text for cell in cells if (text := "".join(cell["source"])).startswith('check("')]


def progress(seat):
    file = seat / "progress.jsonl"
    return [json.loads(line) for line in file.read_text().splitlines()] if file.exists() else []


def prepare(folder, **settings):
    """Write room.toml, and let the tests reach into the pages of the seats."""
    lines = {"password": PASSWORD, "port": any_free_port(), "seats": SEATS, **settings}
    text = "".join(f"{name} = {json.dumps(value)}\n" for name, value in lines.items())
    (folder / "room.toml").write_text(text)
    for name in NAMES:
        own = folder / name / ".jupyter"
        own.mkdir(parents=True)
        shown = {"LabApp": {"expose_app_in_browser": True}}
        (own / "jupyter_lab_config.json").write_text(json.dumps(shown))


def sign_in(page, root, name, password):
    page.goto(f"{root}/")
    page.fill("#username_input", name)
    page.fill("#password_input", password)
    page.click("#login_submit", no_wait_after=True)


def watched(page, home):
    """Note in a page its times, what it complains of, and whom it asks beside the room."""
    window = OpenNotebook(page)
    page.set_default_timeout(SLOW)
    page.add_init_script(NOTE_TIMES)

    def complain(message):
        if message.type == "error":
            window.complaints.append(message.text)

    def ask(request):
        if urlparse(request.url).hostname not in (home, None, ""):
            window.strangers.append(request.url)

    page.on("console", complain)
    page.on("pageerror", lambda problem: window.complaints.append(str(problem)))
    page.on("request", ask)
    return window


def pss(processes):
    """Return the memory of some processes, what they share shared out, in MB."""
    found = [contents(Path(f"/proc/{number}/smaps_rollup")).decode() for number in processes]
    return (
        sum(int(hit[1]) for text in found if (hit := re.search(r"^Pss:\s+(\d+)", text, re.M)))
        / 1024
    )


def spread(values, unit):
    return f"{min(values):.1f} to {max(values):.1f} {unit}"


@pytest.fixture(scope="module")
def tell():
    def write(words):
        sys.stdout.write(
            f"\n{words} [load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors]"
        )

    return write


@pytest.fixture(scope="module")
def evenings(tmp_path_factory):
    """Open rooms; end what a test left running."""
    opened = []

    def begin(folder=None, **options):
        folder = folder or tmp_path_factory.mktemp("room")
        opened.append(Evening(folder, **options))
        return opened[-1]

    yield begin
    for evening in opened:
        if evening.process.poll() is None:
            evening.end()
        for number in evening.processes():  # a test has failed, and says so
            os.kill(number, signal.SIGKILL)


@pytest.fixture(scope="module")
def room(tmp_path_factory, evenings):
    folder = tmp_path_factory.mktemp("room")
    prepare(folder)
    return evenings(folder)


@pytest.fixture(scope="module")
def windows(browser, room):
    """Six windows, each with cookies of its own, on the room's first page."""
    shown = {}
    for name in NAMES:
        context = browser.new_context(viewport={"width": 1280, "height": 900})
        shown[name] = watched(context.new_page(), "127.0.0.1")
    yield shown
    for window in shown.values():
        window.page.context.close()


def test_says_what_it_means_before_it_starts(room):
    room.root()
    said = room.words()
    assert said.index("ALL SEATS ARE ONE SYSTEM USER") < said.index("In a few seconds")
    assert "The Littlest JupyterHub" in said
    assert "Only browsers on this machine" in said


def test_a_wrong_password_is_refused_in_words(room, browser):
    page = browser.new_page()
    refused = [("seat1", "wrong"), ("seat1", "wröng"), ("seat1", ""), ("seat7", PASSWORD)]
    for name, password in refused:
        sign_in(page, room.root(), name, password)
        page.locator(".login_error").wait_for()
        assert page.locator(".login_error").inner_text() == "Invalid username or password"
        assert "such as seat3" in page.inner_text("body")
    page.close()
    assert room.processes("seat1") == {}


def test_six_seats_open_at_once(room, windows, tell):
    root, began = room.root(), {}
    for name, window in windows.items():
        sign_in(window.page, root, name, PASSWORD)
        began[name] = time.time()
    for window in windows.values():
        window.page.wait_for_function("window.noted?.picture", timeout=PATIENCE)
    noted = {name: window.page.evaluate("window.noted") for name, window in windows.items()}
    for what in ("ready", "picture"):
        times = [noted[name][what] / 1000 - began[name] for name in NAMES]
        tell(f"signed in to {what}: {spread(times, 's')}")
    for window in windows.values():
        assert window.page.url.endswith("/lab/tree/00-start-here.ipynb")
        assert window.page.locator(".Toastify__toast, .jp-Dialog").count() == 0


def test_six_sliders_at_once(windows, tell):
    for window in windows.values():
        window.page.evaluate(PRESS, 12)
    spent = []
    for window in windows.values():
        window.page.wait_for_function("window.spent", timeout=PATIENCE)
        spent += window.page.evaluate("window.spent")
    spent.sort()
    middle, late = spent[len(spent) // 2], spent[int(0.95 * len(spent))]
    tell(f"slider to picture and words, six at once: median {middle:.0f} ms, 95 % {late:.0f} ms")
    assert spent[-1] < 5000


def test_the_memory_of_a_seat(room, tell):
    every = {name: pss(room.processes(name)) for name in NAMES}
    seats = {number for name in NAMES for number in room.processes(name)}
    rest = pss(set(room.processes()) - seats)
    tell(f"memory: {spread(every.values(), 'MB a seat')}, {rest:.0f} MB for hub and proxy")
    assert max(every.values()) < 500


def test_every_answer_goes_to_its_own_seat(room, windows):
    for number, (name, window) in enumerate(windows.items(), start=1):
        assert "Not yet" in window.answer("0.1", f"'{number} N'")
        assert "Right." in window.answer("0.2", "254")
        told = [(line["exercise"], line["raw"]) for line in progress(room.folder / name)]
        assert told == [("0.1", f"{number} N"), ("0.2", "254")]


def test_a_seat_is_not_let_into_another_s_page(room, windows):
    page = windows["seat1"].page.context.new_page()
    page.goto(f"{room.root()}/user/seat2/lab/tree/glossary.md")
    page.get_by_text("403 : You do not have permission").wait_for()
    assert page.locator("#jupyter-config-data").count() == 0
    page.close()


def test_a_killed_kernel_costs_nothing(room, windows):
    window, before = windows["seat2"], progress(room.folder / "seat2")
    typed = window.sources()
    (kernel,) = (n for n, words in room.processes("seat2").items() if "ipykernel" in words)
    os.kill(kernel, signal.SIGKILL)
    window.page.locator(".jp-Dialog").filter(has_text="restart automatically").wait_for()
    window.page.locator(".jp-Dialog button").last.click()
    window.page.wait_for_function(IDLE)
    assert window.run_all()
    assert window.sources() == typed
    assert "Right." in window.text(window.exercise("0.2"))
    assert progress(room.folder / "seat2")[: len(before)] == before
    assert "Right." in windows["seat3"].answer("0.2", "254"), "the neighbours go on"


def test_nobody_asked_the_internet_and_no_page_complained(windows):
    assert [asked for window in windows.values() for asked in window.strangers] == []
    assert [told for window in windows.values() for told in window.complaints] == []


def test_stops_and_opens_again_with_everybody_s_work(room, windows, evenings, tell):
    until = time.monotonic() + 60  # JupyterLab saves by itself every 20 s
    while time.monotonic() < until and any("254" not in str(w[0]) for w in room.work().values()):
        time.sleep(1)
    before = room.work()
    assert all('check("0.2", 254)' in typed for typed, _ in before.values())
    code, seconds = room.end()
    assert code == 0
    assert room.processes() == {}
    assert room.words().rstrip().endswith(f"everybody's work is in {room.folder}.")
    again = evenings(room.folder)
    root = again.root()
    assert again.work() == before
    for window in windows.values():  # still signed in
        window.page.goto(f"{root}/", wait_until="commit")
    for name, window in windows.items():
        window.page.wait_for_function("window.noted?.picture", timeout=PATIENCE)
        assert f"/user/{name}/" in window.page.url
        assert 'check("0.2", 254)' in window.sources()
        assert "Right." in window.text(window.exercise("0.2"))
    tell(f"stopped in {seconds:.1f} s with six seats open, and opened again")
    assert again.end()[0] == 0
    assert again.processes() == {}


@pytest.mark.parametrize("name", ["SIGINT", "SIGHUP"])
def test_ctrl_c_and_a_closed_window_leave_nothing(evenings, browser, tmp_path, name):
    prepare(tmp_path)
    room = evenings(tmp_path)
    page = browser.new_page()
    sign_in(page, room.root(), "seat1", PASSWORD)
    page.wait_for_url("**/lab/tree/**", timeout=PATIENCE)
    page.evaluate(READY)
    assert len(room.processes("seat1")) >= 2
    page.close()
    assert room.end(getattr(signal, name))[0] == 0
    assert room.processes() == {}


def test_a_killed_hub_finds_its_seats_again(evenings, browser, tmp_path):
    prepare(tmp_path)
    room = evenings(tmp_path)
    window = watched(browser.new_page(), "127.0.0.1")
    page = window.page
    sign_in(page, room.root(), "seat1", PASSWORD)
    page.wait_for_function("window.noted?.picture", timeout=PATIENCE)
    kernels = [n for n, words in room.processes("seat1").items() if "ipykernel" in words]
    unreachable = page.locator(".jp-Dialog").filter(has_text="Server unavailable")
    page.add_locator_handler(
        unreachable, lambda dialog: dialog.get_by_text("Dismiss", exact=True).click()
    )
    room.end(signal.SIGKILL)
    again = evenings(tmp_path)
    root = again.root()
    assert "Right." in window.answer("0.2", "254"), "the page works on, with the kernel it had"
    assert [n for n, words in again.processes("seat1").items() if "ipykernel" in words] == kernels
    other = browser.new_page()
    sign_in(other, root, "seat2", PASSWORD)
    other.wait_for_url("**/user/seat2/lab/tree/**", timeout=PATIENCE)
    other.close()
    twice = evenings(tmp_path)
    assert twice.process.wait(60) == 1
    assert twice.words().startswith(f"The room in {tmp_path} is open already; stop it first.")
    page.close()
    assert again.end()[0] == 0
    assert again.processes() == {}


INSIDE, OUTSIDE = "198.51.100.2", "198.51.100.1"  # addresses that the internet never uses


@pytest.fixture
def house():
    """A machine with a network card and no internet: words before a command that run it there."""
    name = f"dl{os.getpid()}"
    steps = [
        f"netns add {name}",
        f"link add {name}o type veth peer name {name}i",
        f"link set {name}i netns {name}",
        f"addr add {OUTSIDE}/30 dev {name}o",
        f"link set {name}o up",
        f"-n {name} addr add {INSIDE}/30 dev {name}i",
        f"-n {name} link set {name}i up",
        f"-n {name} link set lo up",
    ]
    if os.geteuid() != 0 or not shutil.which("ip"):
        pytest.skip("a second machine is made with ip netns, which wants root")
    try:
        for step in steps:
            if subprocess.run(["ip", *step.split()]).returncode:
                pytest.skip("this machine lends no network namespace")
        yield ["ip", "netns", "exec", name]
    finally:
        subprocess.run(["ip", "netns", "del", name])


def reachable(host, port):
    """Tell whether a port answers; one that stays silent is neither open nor refused."""
    try:
        return urlopen(f"http://{host}:{port}/hub/login", timeout=5).status == 200
    except URLError as problem:
        if not isinstance(problem.reason, ConnectionRefusedError):
            raise
        return False


def test_loopback_is_not_reached_from_another_machine(evenings, house, tmp_path):
    prepare(tmp_path, port=8000)
    room = evenings(tmp_path, before=house)
    until = time.monotonic() + 60
    inside = [
        *house,
        sys.executable,
        "-c",
        "from urllib.request import urlopen as u; u('http://127.0.0.1:8000/hub/login')",
    ]
    while subprocess.run(inside, stderr=subprocess.DEVNULL).returncode:
        assert time.monotonic() < until, room.words()
    assert [reachable(INSIDE, port) for port in (8000, 8001, 8002)] == [False] * 3
    assert room.end()[0] == 0


def test_told_an_address_it_serves_another_machine(evenings, house, browser, tmp_path, tell):
    prepare(tmp_path, port=8000, address=INSIDE)
    room = evenings(tmp_path, before=house)
    root = room.root()
    assert root == f"http://{INSIDE}:8000"
    assert "can run programs on this machine" in room.words()
    assert [reachable(INSIDE, port) for port in (8000, 8001, 8002)] == [True, False, False]
    window = watched(browser.new_page(), INSIDE)
    page = window.page
    page.goto(f"{root}/hub/login")
    assert "unsecured HTTP connection" in page.inner_text("#insecure-login-warning")
    sign_in(page, root, "seat4", PASSWORD)
    page.wait_for_function("window.noted?.picture", timeout=PATIENCE)
    assert "Right." in window.answer("0.2", "254")
    assert progress(tmp_path / "seat4")[-1]["raw"] == "254"
    page.close()
    assert window.strangers == []
    assert window.complaints == []
    assert room.end()[0] == 0
    assert room.processes() == {}
