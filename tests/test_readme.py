"""What the README shows is what a reader gets."""

from pathlib import Path

from dampinglab.data import dataset
from dampinglab.job import run_baseline

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")


def test_the_excerpt_is_what_the_command_prints():
    excerpt = README.split("```text\n")[1].split("```")[0]
    files = [dataset("vehicles/wagon.toml"), dataset("dyno/wagon_three_adjuster.csv")]
    printed = run_baseline([str(file) for file in files], None, None)
    for block in excerpt.strip().split("...\n"):
        assert block.strip("\n") in printed


def test_pictures_and_files_that_it_names_are_there():
    root = Path(__file__).parent.parent
    for name in ("lessons/pictures/stand.png", "lessons/pictures/baseline.png", "DEVELOPERS.md"):
        assert name in README
        assert (root / name).is_file()


def test_both_commands_stand_on_one_line_each():
    starts = [line for line in README.splitlines() if line.startswith("python3 -m venv")]
    ends = ["dampinglab start", "-m pytest -n 2 --dist loadfile"]
    assert [line.endswith(end) for line, end in zip(starts, ends, strict=True)] == [True, True]
