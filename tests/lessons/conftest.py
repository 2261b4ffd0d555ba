"""nbval run on copies of the lessons, as a marker runs it."""

import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree

import pytest


def run_nbval(folder, *, marking):
    """Run nbval on every notebook of a folder: for each, its failed code cells and their words."""
    environment = {**os.environ, "DAMPINGLAB_WORKBOOK": str(folder)}
    environment.pop("DAMPINGLAB_MARKING", None)
    if marking:
        environment["DAMPINGLAB_MARKING"] = "1"
    command = [sys.executable, "-m", "pytest", "--nbval-lax", "--nbval-current-env", "-q",
               "-p", "no:cacheprovider", "-c", os.devnull, "--rootdir", str(folder),
               "--junitxml", str(folder / "report.xml"), str(folder)]  # fmt: skip
    ran = subprocess.run(command, env=environment, cwd=folder, capture_output=True, text=True)
    assert ran.returncode in (0, 1), ran.stdout + ran.stderr
    failed = {path.name: {} for path in folder.glob("*.ipynb")}
    for case in ElementTree.parse(folder / "report.xml").iter("testcase"):
        problem = [*case.iter("failure"), *case.iter("error")]
        if problem:
            cell = int(re.search(r"Cell (\d+)", case.get("name"))[1])
            failed[case.get("classname")][cell] = problem[0].text
    return failed


@pytest.fixture(scope="session")
def nbval():
    return run_nbval
