"""The table reader: any delimiter, mark and order that is certain; one sentence for the rest."""

from contextlib import suppress

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dampinglab.errors import FileProblem, LearnerError
from dampinglab.workshop.table import read_table
from dampinglab.workshop.text import nearest, split_unit

SAME = [
    "# who: me\nshaft speed [mm/s],force [N]\n-50,-12.5\n100,1250\n",
    "# who: me\nforce (N);Shaft Speed (mm/s)\n-12,5;-50\n1250;100\n",
    "# who: me\n\nshaft_speed_mm_per_s\tforce_N\n-50\t-12,5\n100\t1250,0\n",
    '\ufeff"# who: me";\r\nshaft speed [mm/sec];force [newton];\r\n'
    "-50;-12,50;\r\n;;\r\n100;1250;;\r\n",
    '# who: me\rshaft speed [m/s],force [kN]\r"-0,05","-0,0125"\r"0,1","1,25"\r',
]


@pytest.mark.parametrize("text", SAME)
def test_the_same_table_is_read_from_every_way_of_writing_it(save, text):
    table = read_table(save("t.csv", text))
    assert table.si("speed", "shaft speed") == pytest.approx([-0.05, 0.1])
    assert table.si("force", "force") == pytest.approx([-12.5, 1250])
    assert table.facts == {"who": "me"}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "latin-1"])
def test_the_encoding_of_old_and_new_machines_is_read(save, encoding):
    text = "# oil: 40 °C\ntime [s],acceleration [m/s²]\n0,1\n1,2\n"
    table = read_table(save("t.csv", text.encode(encoding)))
    assert table.facts["oil"] == "40 °C"
    assert table.columns["acceleration"].unit == "m/s²"


def test_one_sure_decimal_comma_settles_the_file_and_none_leaves_1_250_refused(save):
    head = "speed [mm/s];force [N]\n"
    sure = read_table(save("t.csv", head + "50;1,250\n100;12,5\n"))
    assert sure.si("force", "force") == pytest.approx([1.25, 12.5])
    with pytest.raises(FileProblem, match=r"row 2: '1,250' under 'force \[N\]' may mean 1250 or"):
        read_table(save("t.csv", head + "50;1,250\n100;2,500\n"))
    with pytest.raises(FileProblem, match=r"row 3: .*'12.5' and, in row 2, '0,125'|different"):
        read_table(save("t.csv", head + "50;0,125\n100;12.5\n"))


def test_rows_are_counted_as_an_editor_counts_and_kept_with_the_numbers(save):
    table = read_table(save("t.csv", "# a: 1\n\n# b: 2\nspeed [m/s],force [N]\n\n1,2\n\n3,4\n"))
    assert table.rows.tolist() == [6, 8]
    assert (table.header_row, table.fact_rows) == (4, {"a": 1, "b": 3})


def test_words_stay_words_and_clicks_are_numbers(save):
    table = read_table(save("t.csv", "axle,rebound,force [N]\nfront,3,1\nrear,4,2\n"))
    assert table.words == {"axle": ("front", "rear")}
    assert np.array_equal(table.columns["rebound"].values, [3, 4])


BAD = [
    ("", None, "the file is empty"),
    ("\n \n", None, "the file is empty"),
    ("# only: facts\n", None, "it holds no table"),
    ("speed [m/s],force [N]\n", 1, "there is no row below the headings"),
    ("1,2\n3,4\n", 1, "there is no line of headings"),
    ("force [N]\n3\n", 1, "only one column was found, 'force'"),
    ("speed [furlong],force [N]\n1,2\n", 1, "the unit in 'speed [furlong]' is not known"),
    ("speed [m/s],force [N],force [N]\n1,2,3\n", 1, "2 columns have the heading 'force'"),
    ("speed [m/s],,force [N]\n1,2,3\n", 1, "a column has no heading"),
    ("speed [m/s],force [N]\n0,05,120,5\n", 2, "there are 4 cells under 2 headings"),
    ("speed [m/s],force [N]\n1,2\n3\n", 3, "the cell under 'force [N]' is empty"),
    ("speed [m/s],force [N]\n1,NaN\n", 2, "'NaN' under 'force [N]' is not a number"),
    ("speed [m/s],force [N]\n1,inf\n", 2, "'inf' under 'force [N]' is not a number"),
    ("speed [m/s],force [N]\n1,12a\n", 2, "'12a' under 'force [N]' is not a number"),
    ("# a: 1\n# a: 2\nspeed [m/s],force [N]\n1,2\n", 2, "the fact 'a' stands twice"),
    (b"PK\x03\x04\x00zip", None, "it is not plain text"),
    (b"a,b\n\x00\x01", None, "it is not plain text"),
]


@pytest.mark.parametrize(("content", "row", "says"), BAD)
def test_a_bad_table_gets_one_sentence_with_its_row_and_mend(save, content, row, says):
    with pytest.raises(FileProblem) as caught:
        read_table(save("bad.csv", content))
    assert caught.value.row == row
    assert str(caught.value).startswith("bad.csv")
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)
    assert caught.value.mend


def test_a_column_that_is_asked_for_is_missing_without_unit_or_in_another_quantity(save):
    table = read_table(save("t.csv", "speed,force [mm]\n1,2\n"))
    with pytest.raises(FileProblem, match="row 1: 'speed' has no unit; write it behind"):
        table.si("speed", "speed")
    with pytest.raises(FileProblem, match=r"'force \[mm\]' is in a unit of length; .*force: N"):
        table.si("force", "force")
    with pytest.raises(FileProblem, match="no column 'time' among 'speed', 'force'"):
        table.si("time", "time", "t")


def test_a_missing_file_a_folder_and_a_slip_in_the_name(save, tmp_path):
    save("front_damper.csv", "x")
    with pytest.raises(FileProblem, match=r"no such file; perhaps you meant 'front_damper.csv'"):
        read_table(tmp_path / "front_dampr.csv")
    with pytest.raises(FileProblem, match="this is a folder; name a file inside it"):
        read_table(tmp_path)
    with pytest.raises(FileProblem, match="no such file; check the name"):
        read_table(tmp_path / "nowhere" / "x.csv")
    with pytest.raises(FileProblem, match="cannot be opened"):
        read_table("nul\0.csv")


def test_names_and_units_of_headings():
    assert split_unit("Shaft-Speed [ mm/s ]") == ("shaft speed", "mm/s")
    assert split_unit("shaft_speed_m_per_s") == ("shaft speed", "m/s")
    assert split_unit("wheel_rate_N_per_mm") == ("wheel rate", "N/mm")
    assert split_unit("rebound") == ("rebound", "")
    assert split_unit("time [fortnights]") == ("time", None)
    assert nearest("Rebund", ["bump", "rebound"]) == "perhaps you meant 'rebound'"
    assert nearest("xyz", ["bump", "rebound"]) == "use one of bump, rebound"


CALM = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
SCRAPS = st.sampled_from(
    ["#", ":", ",", ";", "\t", "\n", "\r", '"', "[", "]", "mm/s", "N", "1", "-2,5", "1,250", "1.5",
     "NaN", "1e999", "3/0", "0x1", "speed", " ", "\x00", "é", "²", "\u2028", "−"]
)  # fmt: skip


@CALM
@given(st.one_of(st.binary(max_size=80), st.lists(SCRAPS, max_size=40).map("".join)))
def test_no_content_whatever_gets_more_than_a_sentence(save, content):
    with suppress(LearnerError):
        table = read_table(save("any.csv", content))
        assert all(np.isfinite(column.values).all() for column in table.columns.values())
