"""Time every panel in a real browser: python -m tests.benchmarks.sliders [--json FILE] [PANEL ...].

From a key pressed on a slider to the frame in which both picture and words are new; for the corner
on the road also how evenly its drawing moves. Each press goes on to a setting not yet shown.
"""

import argparse
import json
import os
import re
import signal
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from dampinglab import panels
from tests.browser.conftest import FLAGS, READY, OpenNotebook, _write_notebook
from tests.conftest import RunningCourse, any_free_port

HANDLES = {"corner_panel": 3}  # a slider of clicks, where the first is another; else the first
PRESSES = 24
TIMES = """async ([which, presses]) => {
  const panel = document.querySelector('.dl-panel'), out = [];
  const handle = panel.querySelectorAll('.noUi-handle')[which];
  const shown = () => [panel.querySelector('img.dl-picture')?.src,
                       panel.querySelector('svg.dl-moving')?.id].join();
  const words = () => panel.querySelector('.dl-words').innerText;
  const pause = time => new Promise(done => setTimeout(done, time));
  const frame = () => new Promise(done => requestAnimationFrame(done));
  if (!handle) return out;  // a panel of lists and buttons
  handle.focus();
  for (let i = 0; i < presses; i++) {
    await pause(250);
    const old = shown(), told = words(), start = performance.now();
    const key = i < presses / 2 ? 'ArrowRight' : 'ArrowLeft';
    handle.dispatchEvent(new KeyboardEvent('keydown', {key, bubbles: true}));
    while (shown() === old || words() === told ||
           [...panel.querySelectorAll('img.dl-picture')].some(img => !img.complete)) {
      await frame();
      if (performance.now() - start > 2000) break;
    }
    if (performance.now() - start < 2000) out.push(performance.now() - start);
  }
  return out;
}"""
FRAMES = """async time => {
  const body = document.querySelector('svg.dl-moving g[class$=b]'), gaps = [];
  let last = performance.now(), seen = 0, at = null;
  const end = last + time;
  while (last < end) {
    await new Promise(done => requestAnimationFrame(done));
    const now = performance.now(), height = new DOMMatrix(getComputedStyle(body).transform).f;
    gaps.push(now - last); last = now; seen += height !== at; at = height;
  }
  gaps.sort((a, b) => a - b);
  return {frames: gaps.length, moved: seen, seconds: time / 1000,
          median: gaps[gaps.length >> 1], p95: gaps[Math.floor(0.95 * gaps.length)]};
}"""


def start(folder: Path) -> RunningCourse:
    """Start the course in a home of its own."""
    shown = {"LabApp": {"expose_app_in_browser": True}}
    (folder / "jupyter_lab_config.json").write_text(json.dumps(shown))
    own = {"HOME": str(folder), "JUPYTER_CONFIG_DIR": str(folder), "IPYTHONDIR": str(folder / "i")}
    words = [sys.executable, "-m", "dampinglab", "start", "--no-browser"]
    process = subprocess.Popen(
        [*words, "--port", str(any_free_port())],
        env={**os.environ, **own},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    told = ""
    for line in process.stdout:
        told += line
        if found := re.search(r"http://\S+", line):
            place = Path(re.search(r"workbook is (.*)\.$", told, re.MULTILINE)[1])
            return RunningCourse(process, found[0], place, "")
    raise RuntimeError(f"the course did not start: {told}")


def time_panel(browser, course: RunningCourse, name: str) -> dict:
    """Return the times of one panel, ms, and the frames of a drive."""
    cells = [f"from dampinglab.panels import {name}", f"{name}()"]
    notebook = OpenNotebook(browser.new_page(viewport={"width": 1280, "height": 1000}))
    page = notebook.page
    page.goto(
        f"{course.root}/lab/tree/{_write_notebook(course.folder, cells)}?reset&token={course.token}"
    )
    page.evaluate(READY)
    notebook.run_all()
    page.wait_for_selector(".dl-panel, .dl-own")
    page.wait_for_timeout(1500)
    spent = sorted(page.evaluate(TIMES, [HANDLES.get(name, 0), PRESSES]))
    told = {"panel": name, "read": len(spent)}
    if spent:
        told |= {"median": statistics.median(spent), "p95": spent[int(0.95 * len(spent))]}
    if name == "corner_panel":
        told["frames"] = page.evaluate(FRAMES, 5000)
    page.close()
    return told


def main() -> int:
    """Measure, print, write."""
    every = [name for name in panels.__all__ if name.endswith("_panel")]
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.sliders", description=__doc__)
    parser.add_argument("panels", nargs="*", default=every, metavar="PANEL")
    parser.add_argument("--json", type=Path, help="also write the figures to this file")
    options = parser.parse_args()
    binary = os.environ.get("DAMPINGLAB_CHROMIUM", "/usr/bin/chromium")
    figures = []
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        course = start(Path(home))
        browser = playwright.chromium.launch(executable_path=binary, args=FLAGS)
        try:
            for name in options.panels:
                figures.append(time_panel(browser, course, name))
                sys.stdout.write(f"{line(figures[-1])}\n")
        finally:
            browser.close()
            course.end(signal.SIGINT)
    sys.stdout.write(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors\n")
    if options.json:
        options.json.write_text(json.dumps(figures, indent=1) + "\n", encoding="utf-8")
    return 0


def line(told: dict) -> str:
    """Return one panel's row."""
    row = f"{told['panel']:16} {told['read']:3} of {PRESSES} presses"
    if "median" in told:
        row += f"  median {told['median']:4.0f} ms  95 % {told['p95']:4.0f} ms"
    if frames := told.get("frames"):
        row += (
            f"  moving {frames['frames'] / frames['seconds']:.0f} frames a second, gaps "
            f"{frames['median']:.1f} ms, 95 % {frames['p95']:.1f} ms"
        )
    return row


if __name__ == "__main__":
    sys.exit(main())
