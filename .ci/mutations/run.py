"""Prove that the tests can fail: plant each committed fault in a copy and see a test catch it.

    python .ci/mutations/run.py            all of them, two at a time
    python .ci/mutations/run.py rebound    only those with "rebound" in their name

`mutations.toml` beside this file lists the faults: a file, its exact old text, the new text, why
somebody could make that slip, and the tests that ought to notice. Exit code 0 only if the tests
pass without a fault, every old text is found exactly once, and every fault is caught.
"""

import argparse
import os
import queue
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
COPIED = ("dampinglab", "datasets", "lessons", "tests", "pyproject.toml", "README.md")
IGNORED = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints", ".pytest_cache", "*.pyc")
LONGEST = 300  # s: a fault that makes a test hang this long is caught as well


@dataclass(frozen=True)
class Mutation:
    """One planted fault."""

    name: str
    file: str
    old: str
    new: str
    why: str
    tests: tuple[str, ...]


def read(wanted: str) -> list[Mutation]:
    """Return the committed mutations whose name holds a word."""
    rows = tomllib.loads((HERE / "mutations.toml").read_text(encoding="utf-8"))["mutation"]
    found = [Mutation(**{**row, "tests": tuple(row["tests"])}) for row in rows]
    return [mutation for mutation in found if wanted in mutation.name]


def complaint(mutation: Mutation) -> str:
    """Return what is wrong with a mutation itself, or an empty text."""
    path = ROOT / mutation.file
    if not path.is_file():
        return f"there is no {mutation.file}"
    times = path.read_text(encoding="utf-8").count(mutation.old)
    missing = [test for test in mutation.tests if not (ROOT / test.split("::")[0]).exists()]
    if times != 1:
        return f"its old text stands {times} times in {mutation.file}, not once"
    return f"there is no {', '.join(missing)}" if missing else ""


def copy_tree(folder: Path) -> Path:
    """Copy what the tests need into a folder of its own."""
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, folder / name, ignore=IGNORED)
        elif source.is_file():
            shutil.copy2(source, folder / name)
    return folder


def run_tests(folder: Path, tests: tuple[str, ...]) -> tuple[str, str]:
    """Run tests in a copy; return "survived", "killed" or "broken", and the line that says why.

    Only a test that fails kills a fault: a module that cannot even be imported proves nothing.
    """
    # No bytecode: a stale file could hide a fault of the same length written in the same second.
    # The copy comes first on the path, before any installed package of the same name.
    environment = {**os.environ, "PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1"}
    command = [sys.executable, "-m", "pytest", "-x", "-q", "--tb=line", "-p", "no:cacheprovider"]
    try:
        done = subprocess.run(
            [*command, *tests],
            cwd=folder,
            env=environment,
            capture_output=True,
            text=True,
            timeout=LONGEST,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return "killed", f"hung for {LONGEST} s"
    failed = [line for line in done.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    word = {0: "survived", 1: "killed"}.get(done.returncode, "broken")
    return word, (failed or [done.stdout[-150:].replace("\n", " ")])[0]


def imports_from(folder: Path) -> bool:
    """Return whether a test run in a copy imports the package of that copy."""
    code = "import dampinglab; print(dampinglab.__file__)"
    environment = {**os.environ, "PYTHONPATH": str(folder)}
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    return Path(done.stdout.strip()).is_relative_to(folder)


def attempt(mutation: Mutation, copies: queue.Queue) -> tuple[Mutation, str, str, float]:
    """Plant one fault in a free copy, run its tests, take it out again."""
    folder, start = copies.get(), time.monotonic()
    path = folder / mutation.file
    sound = path.read_text(encoding="utf-8")
    try:
        path.write_text(sound.replace(mutation.old, mutation.new), encoding="utf-8")
        word, line = run_tests(folder, mutation.tests)
    finally:
        path.write_text(sound, encoding="utf-8")
        copies.put(folder)
    return mutation, word, line, time.monotonic() - start


def hunt(mutations: list[Mutation], jobs: int, scratch: Path) -> int:
    """Run all mutations and print the roll; return how many were caught."""
    copies: queue.Queue = queue.Queue()
    for number in range(jobs):
        copies.put(copy_tree(scratch / str(number)))
    first = scratch / "0"
    if not imports_from(first):
        print("The copy is not what gets imported, so nothing would be proved.")
        return 0
    word, line = run_tests(first, tuple(sorted({t for m in mutations for t in m.tests})))
    if word != "survived":
        print(f"The tests fail without any fault, so nothing would be proved: {line}")
        return 0
    killed = 0
    with ThreadPoolExecutor(jobs) as pool:
        for mutation, word, line, took in pool.map(lambda m: attempt(m, copies), mutations):
            killed += word == "killed"
            shown = word if word == "killed" else word.upper()
            print(f"{shown:9}{took:6.1f} s  {mutation.name}: {mutation.why}", flush=True)
            print(f"          {line}"[:160], flush=True)
    return killed


def main() -> int:
    """Read the list, refuse a stale one, hunt."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("name", nargs="?", default="", help="only names that hold this word")
    parser.add_argument("--jobs", type=int, default=2, help="how many at a time")
    options = parser.parse_args()
    mutations, start = read(options.name), time.monotonic()
    stale = [(m.name, words) for m in mutations if (words := complaint(m))]
    for name, words in stale:
        print(f"STALE     {name}: {words}")
    sound = [m for m in mutations if m.name not in dict(stale)]
    with tempfile.TemporaryDirectory(prefix="mutations-") as scratch:
        killed = hunt(sound, max(1, options.jobs), Path(scratch)) if sound else 0
    took = time.monotonic() - start
    print(f"{killed} of {len(mutations)} killed, {len(stale)} stale, {took:.0f} s")
    return 0 if mutations and killed == len(mutations) else 1


if __name__ == "__main__":
    sys.exit(main())
