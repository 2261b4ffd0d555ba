"""The baseline command as it is typed."""

import subprocess

import pytest

from dampinglab.cli import main
from dampinglab.data import dataset

SHEET = str(dataset("vehicles/wagon.toml"))
TABLE = str(dataset("dyno/wagon_three_adjuster.csv"))


def test_the_demo_files_give_a_bench_sheet(capsys):
    assert main(["baseline", SHEET, TABLE]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    for words in ("FRONT", "REAR", "START AT", "Why:", "Hz", "N·s/m"):
        assert words in out


def test_the_picture_is_saved_and_never_over_another(capsys, tmp_path):
    picture = str(tmp_path / "wagon.png")
    assert main(["baseline", SHEET, TABLE, "--picture", picture]) == 0
    before = (tmp_path / "wagon.png").read_bytes()
    assert before.startswith(b"\x89PNG")
    capsys.readouterr()
    assert main(["baseline", SHEET, TABLE, "--picture", picture]) == 2
    assert "wagon.png" in capsys.readouterr().err
    assert (tmp_path / "wagon.png").read_bytes() == before


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["nowhere.toml"],
        [TABLE],
        [SHEET, SHEET],
        [SHEET, "nowhere.csv"],
        [SHEET, TABLE, "--load", "no such load"],
        [SHEET, TABLE, "--picture", "picture.txt"],
        [SHEET, "--faster"],
    ],
)
def test_what_cannot_be_used_gets_one_sentence_and_exit_code_2(capsys, words):
    try:
        code = main(["baseline", *words])
    except SystemExit as ending:
        code = ending.code
    out, err = capsys.readouterr()
    assert code == 2
    assert out == ""
    assert err.count("\n") == 1
    assert err.strip().endswith(".")


def test_without_a_file_the_vehicle_sheet_is_asked_for(capsys):
    with pytest.raises(SystemExit):
        main(["baseline"])
    assert capsys.readouterr().err.startswith("Name your vehicle sheet, a file that ends in .toml")


def test_no_traceback_from_a_file_of_rubbish(command_line, tmp_path):
    rubbish = tmp_path / "rubbish.csv"
    rubbish.write_bytes(bytes(range(256)) * 4)
    told = subprocess.run(command_line("baseline", SHEET, rubbish), capture_output=True, text=True)
    assert told.returncode == 2
    assert told.stdout == ""
    assert told.stderr.count("\n") == 1
