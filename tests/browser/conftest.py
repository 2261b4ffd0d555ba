"""One JupyterLab for all browser tests, and a hand to use it.

Fixtures
--------
course (session)
    The real ``dampinglab start`` on a fresh workbook: ``course.url``, ``course.folder`` (put any
    extra file there), ``course.token``.
open_notebook (function)
    ``open_notebook("00-start-here.ipynb")`` opens a lesson of the workbook, and
    ``open_notebook(["first cell", "second cell"])`` a new notebook of code cells (for a panel:
    ``["from dampinglab.panels import stand_panel", "stand_panel()"]``). ``width=1280, height=900``
    set the window. Returns an ``OpenNotebook`` whose kernel is ready. When the test ends, the
    fixture fails it if the page asked anything of another machine or wrote an error to its console.
    The page of JupyterLab stays open from test to test; notebook and kernel are new each time.
open_panels (function)
    ``open_panels(("stand", "sag"))`` opens a new notebook with these panels and returns the page.
wait_for (function)
    ``wait_for(page, pattern)`` waits until the words of the page's last panel match a pattern.
show_panel (function)
    ``show_panel("zones_panel")`` opens a new notebook with this panel and returns a ``Shown``.

OpenNotebook
------------
page                     the playwright page (``page.keyboard.press("ArrowRight")`` ...)
run_all() -> bool        run every cell and wait; False if a cell raised
run(index)               run one cell as a person does (Ctrl+Enter) and wait
cell(index), output(index)   playwright locators; cells are counted from 0, text cells included
text(index) -> str       the words now in the cell's output
wait_for(index, words)   wait until the output has these words
exercise(name) -> int    the index of the exercise cell ``check("name", ...)``
answer(name, expression) -> str
                         type ``check("name", expression)`` in its cell, run it, return the reply
sources() -> list[str]   the source of every cell

With DAMPINGLAB_BROWSER_REQUIRED=1 a browser that cannot be had fails the tests; otherwise they
skip, and the run says so in one loud line. DAMPINGLAB_CHROMIUM names another browser binary.
"""

import json
import os
import shutil
from dataclasses import dataclass, field
from urllib.parse import quote, urlparse

import pytest

REQUIRED = os.environ.get("DAMPINGLAB_BROWSER_REQUIRED") == "1"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--force-color-profile=srgb",
]
SLOW = 60_000
MISSED = []

# JupyterLab shows a notebook before it can run it: each of these has to be waited for.
READY = """async () => {
  const pause = () => new Promise(done => setTimeout(done, 50));
  while (!window.jupyterapp) await pause();
  await window.jupyterapp.restored;
  const panel = () => window.jupyterapp.shell.currentWidget;
  while (!(panel() && panel().context && panel().sessionContext)) await pause();
  await panel().context.ready;
  await panel().sessionContext.ready;
  while (!panel().sessionContext.session?.kernel) await pause();
  await panel().sessionContext.session.kernel.info;
  await panel().revealed;
}"""
# JupyterLab says so of a kernel that stops or restarts while a panel of it is still being put on
# the page (seen once, under load). A panel that lacks a part of its own fails its own test.
GONE = "widget model not found"
OPEN = "path => window.jupyterapp.commands.execute('docmanager:open', {path}).then(() => 0)"
LEAVE = """() => { const panel = window.jupyterapp.shell.currentWidget;
                   if (!panel || !panel.context) return false;
                   panel.context.model.dirty = false;
                   panel.dispose();
                   return !document.querySelector('.jp-Dialog'); }"""
INSIDE = "document.querySelector('.dl-panel').innerText.replaceAll('\\u00a0', ' ')"
LAST = """(Array.from(document.querySelectorAll('.dl-panel')).at(-1)
           ?.innerText.replaceAll('\\u00a0', ' ') ?? '')"""
RUN_ALL = "() => window.jupyterapp.commands.execute('notebook:run-all-cells')"
SOURCES = """() => Array.from(window.jupyterapp.shell.currentWidget.content.widgets,
                         cell => cell.model.sharedModel.getSource())"""
IDLE = "() => window.jupyterapp.shell.currentWidget.sessionContext.kernelDisplayStatus === 'idle'"
ACTIVATE = """index => { const notebook = window.jupyterapp.shell.currentWidget.content;
                         notebook.activeCellIndex = index; }"""
COUNT = "i => window.jupyterapp.shell.currentWidget.content.widgets[i].model.executionCount"
SHUT = "() => window.jupyterapp.shell.currentWidget.sessionContext.shutdown()"
RUN_ACTIVE = "() => window.jupyterapp.commands.execute('notebook:run-cell')"


def _miss(reason):
    """Skip for want of a browser, or fail where one is required."""
    if REQUIRED:
        pytest.fail(f"a browser is required: {reason}", pytrace=False)
    MISSED.append(reason)
    pytest.skip(reason)


def pytest_terminal_summary(terminalreporter):
    if MISSED:
        terminalreporter.write_line(f"BROWSER TESTS DID NOT RUN: {MISSED[0]}", red=True, bold=True)


@pytest.fixture(scope="session")
def course(launch):
    return launch()


@pytest.fixture(scope="session")
def browser():
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        _miss("playwright is not installed (it comes with the extra 'test')")
    binary = os.environ.get("DAMPINGLAB_CHROMIUM") or shutil.which("chromium")
    if not binary:
        _miss("no chromium was found")
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=binary, args=FLAGS)
        yield chromium
        chromium.close()


@dataclass
class OpenNotebook:
    """A notebook in a page; see the top of this file."""

    page: object
    complaints: list = field(default_factory=list)
    strangers: list = field(default_factory=list)

    def run_all(self):
        outcome = self.page.evaluate(RUN_ALL)
        self.page.wait_for_function(IDLE)
        return outcome

    def run(self, index):
        self.page.evaluate(ACTIVATE, index)
        self.page.evaluate(RUN_ACTIVE)
        self.page.wait_for_function(IDLE)

    def cell(self, index):
        return self.page.locator(f".jp-Notebook-cell[data-windowed-list-index='{index}']")

    def output(self, index):
        return self.cell(index).locator(".jp-OutputArea-output")

    def text(self, index):
        return "\n".join(self.output(index).all_inner_texts())

    def wait_for(self, index, words):
        self.output(index).filter(has_text=words).first.wait_for()

    def sources(self):
        return self.page.evaluate(SOURCES)

    def exercise(self, name):
        marks = (f'check("{name}"', f"check('{name}'")
        return next(i for i, source in enumerate(self.sources()) if source.startswith(marks))

    def answer(self, name, expression):
        index = self.exercise(name)
        editor = self.cell(index).locator(".cm-content")
        editor.click()
        self.page.keyboard.press("Control+a")
        self.page.keyboard.insert_text(f'check("{name}", {expression})')
        before = self.page.evaluate(COUNT, index)
        self.page.keyboard.press("Control+Enter")
        self.page.wait_for_function(
            f"([i, n]) => ![n, null].includes(({COUNT})(i))", arg=[index, before]
        )
        self.page.wait_for_function(IDLE)
        self.output(index).first.wait_for()
        return self.text(index)


def _watch(page, home, whose):
    """Note what the page complains of and whom it asks, for the notebook that is open."""

    def complain(words):
        if GONE not in words:
            whose().complaints.append(words)

    def ask(request):
        if urlparse(request.url).hostname not in (home, None, ""):
            whose().strangers.append(request.url)

    page.on("console", lambda told: told.type == "error" and complain(told.text))
    page.on("pageerror", lambda problem: complain(str(problem)))
    page.on("request", ask)


def _write_notebook(folder, cells):
    """Write a notebook of code cells; return its name."""
    import nbformat.v4 as v4

    name = f"bench-{len(list(folder.glob('bench-*.ipynb')))}.ipynb"
    notebook = v4.new_notebook(cells=[v4.new_code_cell(source) for source in cells])
    notebook.metadata.kernelspec = {"name": "python3", "display_name": "Python 3"}
    (folder / name).write_text(json.dumps(notebook))
    return name


class Lab:
    """JupyterLab in one page that every test uses in turn: opening it takes most of the time."""

    def __init__(self, browser, course):
        self.browser, self.course, self.page, self.notebook = browser, course, None, None

    def open(self, name, size):
        """Open a notebook in the page, or in a new one where another is open in it."""
        page = self.page
        if page is None or page.is_closed() or self.notebook is not None:
            return self._anew(name, size)
        page.set_viewport_size(size)
        page.emulate_media(reduced_motion="no-preference", forced_colors="none")
        self.notebook = OpenNotebook(page)
        page.evaluate(OPEN, name)
        page.evaluate(READY)
        return self.notebook

    def _anew(self, name, size):
        notebook = OpenNotebook(self.browser.new_page(viewport=size))
        notebook.page.set_default_timeout(SLOW)
        mine = self.notebook is None
        if mine:
            self.page, self.notebook = notebook.page, notebook
        _watch(notebook.page, urlparse(self.course.root).hostname, lambda: self._whose(notebook))
        where = f"{self.course.root}/lab/tree/{quote(name)}?reset&token={self.course.token}"
        notebook.page.goto(where)
        notebook.page.evaluate(READY)
        return notebook

    def _whose(self, first):
        """Return the notebook that is open in the page of a first one."""
        return self.notebook if self.notebook and self.page is first.page else first

    def close(self, notebook):
        """Close a notebook, unsaved; the page stays if it is the shared one and still sound."""
        shared = notebook is self.notebook
        if shared:
            self.notebook = None
        if notebook.page.is_closed():
            return
        notebook.page.evaluate(SHUT)
        if shared and notebook.page.evaluate(LEAVE):
            return
        notebook.page.close()


@pytest.fixture(scope="session")
def lab(browser, course):
    return Lab(browser, course)


@pytest.fixture
def open_notebook(lab, course):
    opened = []

    def open_one(what, width=1280, height=900):
        name = what if isinstance(what, str) else _write_notebook(course.folder, what)
        opened.append(lab.open(name, {"width": width, "height": height}))
        return opened[-1]

    yield open_one
    strangers = [told for notebook in opened for told in notebook.strangers]
    complaints = [told for notebook in opened for told in notebook.complaints]
    for notebook in opened:
        lab.close(notebook)
    assert not strangers
    assert not complaints


@pytest.fixture
def open_panels(open_notebook):
    def show(names):
        cells = [f"panels.{name}_panel()" for name in names]
        notebook = open_notebook(["from dampinglab import panels", *cells])
        assert notebook.run_all()
        notebook.page.wait_for_function(
            f"() => document.querySelectorAll('.dl-panel[aria-label]').length === {len(names)}"
        )
        return notebook.page

    return show


@pytest.fixture
def wait_for():
    matches = f"words => new RegExp(words).test{LAST}"
    return lambda page, pattern: page.wait_for_function(matches, arg=pattern)


CUT = """panel => Array.from(panel.querySelectorAll(
                    '.lm-Widget.widget-label, .dl-words, button, img, input'))
                .filter(part => part.scrollWidth > part.clientWidth + 1)
                .map(part => part.innerText)"""
WIDER = """wide => document.querySelector('img.dl-picture').getBoundingClientRect().width > wide"""


class Shown:
    """A panel on the page: its picture, its words, and a hand on its controls."""

    def __init__(self, notebook):
        self.page = notebook.page
        self.panel = self.page.locator(".dl-panel").first
        self.image = self.panel.locator("img.dl-picture")
        self.image.wait_for()

    def picture(self):
        return self.image.get_attribute("src"), self.image.get_attribute("alt")

    def words(self):
        return self.page.evaluate(f"() => {INSIDE}")

    def wait_for(self, words):
        self.page.wait_for_function(f"words => {INSIDE}.includes(words)", arg=words)

    def wait_for_another(self, old):
        self.page.wait_for_function(
            "old => document.querySelector('img.dl-picture').src !== old", arg=old[0]
        )

    def control(self, label):
        return self.panel.locator(".dl-control").filter(has_text=label)

    def slide(self, label, key):
        self.control(label).locator(".noUi-handle").focus()
        self.page.keyboard.press(key)

    def type(self, label, text):
        box = self.control(label).locator("input")
        box.fill(text)
        box.press("Enter")

    def choose(self, label, option):
        self.panel.get_by_label(label, exact=True).select_option(option)

    def cut(self):
        """Return the words of whatever is wider than its place."""
        return self.panel.evaluate(CUT)

    def widen(self):
        """Press the projector switch on a large screen, and wait until the picture has grown."""
        self.page.set_viewport_size({"width": 1920, "height": 1080})
        wide = self.image.bounding_box()["width"]
        self.panel.get_by_role("button", name="Projector size").click()
        self.page.wait_for_function(WIDER, arg=1.2 * wide)


@pytest.fixture
def show_panel(open_notebook):
    """Return a function that opens a panel by the name of its function."""

    def show(name):
        notebook = open_notebook([f"from dampinglab.panels import {name}", f"{name}()"])
        assert notebook.run_all()
        return Shown(notebook)

    return show
