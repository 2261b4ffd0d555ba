"""Every unit of the table against values known from elsewhere, and its round trip."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dampinglab import units
from dampinglab.errors import LearnerError

# One of each in SI: from the definitions (CGPM 1901; international yard and pound of 1959), worked
# out by hand and typed, not computed by the package.
KNOWN = {
    "m": 1.0,
    "mm": 0.001,
    "cm": 0.01,
    "in": 0.0254,
    "m/s": 1.0,
    "mm/s": 0.001,
    "in/s": 0.0254,
    "km/h": 0.27777777777777778,
    "kg": 1.0,
    "lb": 0.45359237,
    "N": 1.0,
    "kN": 1000.0,
    "kgf": 9.80665,
    "lbf": 4.4482216152605,
    "N/m": 1.0,
    "N/mm": 1000.0,
    "kgf/mm": 9806.65,
    "lbf/in": 175.12683524647636,
    "N·s/m": 1.0,
    "N·s/mm": 1000.0,
    "Hz": 1.0,
    "rad/s": 0.15915494309189535,
    "s": 1.0,
    "ms": 0.001,
    "m/s²": 1.0,
    "g": 9.80665,
    "Pa": 1.0,
    "kPa": 1000.0,
    "bar": 100000.0,
    "psi": 6894.757293168361,
    "J": 1.0,
    "%": 0.01,
    "clicks": 1.0,
    "°C": 1.0,
}


@pytest.mark.parametrize("symbol", units.UNITS)
def test_one_of_it_in_si(symbol):
    assert units.to_si(1.0, symbol) == pytest.approx(KNOWN[symbol], rel=1e-14)


@given(st.sampled_from(sorted(units.UNITS)), st.floats(-1e6, 1e6))
def test_there_and_back(symbol, value):
    there = units.to_si(value, symbol)
    assert units.from_si(there, symbol) == pytest.approx(value, rel=1e-14, abs=1e-300)


@given(st.floats(-1e9, 1e9), st.sampled_from(["{!r}", " {!r} ", "{:.17g}"]))
def test_what_python_writes_is_read_back(value, form):
    assert units.parse_number(form.format(value)) == value


@given(st.text(max_size=12))
def test_any_text_is_a_number_or_a_sentence(text):
    said = ""
    try:
        assert math.isfinite(units.parse_number(text))
    except LearnerError as error:
        said = str(error)
    assert not said or said.endswith(".")


@given(st.text(max_size=12), st.sampled_from(["force", "speed", "frequency", "ratio"]))
def test_any_answer_is_a_quantity_or_a_sentence(text, quantity):
    unit = (units.units_of(quantity) or [""])[0]
    said = "."
    try:
        assert math.isfinite(units.parse_quantity(text, quantity, unit))
    except LearnerError as error:
        said = str(error)
    assert said.endswith(".")


@pytest.mark.parametrize(
    ("typed", "quantity", "said"),
    [
        ("16 from soft", "clicks", "'from soft' is not a unit that this course knows; for clicks, "
         "write clicks behind the number."),
        ("2 kg", "frequency", "'kg' measures mass; for frequency, write Hz or rad/s behind the "
         "number."),
        ("2 ft", "length", "'ft' is not a unit that this course knows; for length, write m, mm, "
         "cm or in behind the number."),
        ("2 kg", "ratio", "'kg' measures mass; write the number alone."),
    ],
)  # fmt: skip
def test_a_unit_that_does_not_fit_gets_one_plain_sentence(typed, quantity, said):
    with pytest.raises(LearnerError) as refused:
        units.parse_quantity(typed, quantity, units.units_of(quantity)[0])
    assert str(refused.value) == said
