"""Every shipped data file against its page in the dictionary, and against its generator."""

import csv
import hashlib
import runpy
import tomllib
from pathlib import Path

import pytest

DATASETS = Path(__file__).resolve().parents[1] / "datasets"
DICTIONARY = tomllib.loads((DATASETS / "dictionary.toml").read_text(encoding="utf-8"))
GENERATED = {name: page for name, page in DICTIONARY.items() if page["generator"].endswith(".py")}
NOT_DATA = {".py", ".md", ".pyc"}


def table(path):
    """Return the lines of facts, the headings and the rows of a table."""
    lines = path.read_text(encoding="utf-8").splitlines()
    facts = [line for line in lines if line.startswith("#")]
    mark = ";" if ";" in lines[len(facts)] else ","
    head, *rows = csv.reader(lines[len(facts) :], delimiter=mark)
    if mark == ";":  # then the comma is the decimal mark
        rows = [[cell.replace(",", ".") for cell in row] for row in rows]
    return facts, head, rows


@pytest.fixture(scope="module")
def made_again(tmp_path_factory):
    """Run every generator once into an empty folder; return name -> path of what it made."""
    made = {}
    for generator in {page["generator"] for page in GENERATED.values()}:
        folder = tmp_path_factory.mktemp("made")
        paths = runpy.run_path(str(DATASETS / generator))["generate"](folder)
        made |= {path.name: path for path in paths}
    return made


def test_every_data_file_has_its_page_and_every_page_its_file():
    files = [path for path in DATASETS.rglob("*") if path.is_file()]
    data = {path.relative_to(DATASETS).as_posix() for path in files if path.suffix not in NOT_DATA}
    assert {name for name in data if "/." not in f"/{name}"} - {"dictionary.toml"} == set(
        DICTIONARY
    )


@pytest.mark.parametrize("name", DICTIONARY)
def test_a_file_is_the_one_that_its_page_describes(name):
    page, path = DICTIONARY[name], DATASETS / name
    assert {"what", "origin", "licence", "generator", "sha256"} <= set(page)
    assert page["generator"] == "written by hand" or "seed" in page
    assert hashlib.sha256(path.read_bytes()).hexdigest() == page["sha256"]


@pytest.mark.parametrize("name", [name for name in DICTIONARY if name.endswith(".csv")])
def test_a_table_has_the_columns_and_ranges_of_its_page(name):
    _, head, rows = table(DATASETS / name)
    pages = DICTIONARY[name]["columns"]
    assert head == list(pages)
    for heading, page, values in zip(head, pages.values(), zip(*rows, strict=True), strict=True):
        assert page["what"], heading
        if "words" in page:
            assert set(values) == set(page["words"])
        else:
            low, high = page["range"]
            assert all(low <= float(value) <= high for value in values), heading


@pytest.mark.parametrize("name", GENERATED)
def test_the_generator_makes_the_same_numbers_again(name, made_again):
    """To one unit of the last digit, since another processor may round otherwise."""
    (facts, head, rows), fresh = table(DATASETS / name), table(made_again[Path(name).name])
    assert (facts, head, len(rows)) == (*fresh[:2], len(fresh[2]))
    for ours, theirs in zip(rows, fresh[2], strict=True):
        for heading, text, again in zip(head, ours, theirs, strict=True):
            if text != again:
                assert not heading.endswith("[clicks]")
                last_digit = 10.0 ** -len(text.partition(".")[2])
                assert float(text) == pytest.approx(float(again), abs=1.01 * last_digit)


@pytest.mark.parametrize("name", DICTIONARY)
def test_an_invented_file_says_so_itself(name):
    if DICTIONARY[name]["origin"].startswith("invented"):
        assert "INVENTED" in (DATASETS / name).read_text(encoding="utf-8").upper()
