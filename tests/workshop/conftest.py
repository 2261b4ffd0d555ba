"""Files for the tests of the workshop, made here; and any JSON, in any place of a record."""

from types import SimpleNamespace

import pytest
from hypothesis import strategies as st

JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=5,
)


def all_places(value, path=()):
    """Yield every place in a nested record."""
    yield path
    if isinstance(value, dict | list):
        for key in value if isinstance(value, dict) else range(len(value)):
            yield from all_places(value[key], (*path, key))


def put(value, path, new):
    """Return the same with another thing in one place."""
    if not path:
        return new
    made = dict(value) if isinstance(value, dict) else list(value)
    made[path[0]] = put(value[path[0]], path[1:], new)
    return made


SHEET = """\
format = "dampinglab vehicle 1"
name = "Test wagon"

[front]
left_wheel_kg = 480
right_wheel_kg = 470
unsprung_kg = 75
wheel_rate_N_per_mm = 40
damper_motion_ratio = 0.5
tyre_rate_N_per_mm = 250
tyre_damping_N_s_per_m = 250
bump_travel_mm = 80
foam_mm = 45
droop_travel_mm = 100
friction_N = 60

[front.as_found]
rebound = 5

[[load]]
name = "touring"
front_kg = 100
rear_kg = 0
"""

DYNO = """\
# title: Test damper (invented)
# axle: front
# test: steady speed
# gas force: removed
# friction: included
# oil temperature: 40 °C
# rebound sign: negative
# clicks counted from: closed
# adjusters: rebound 10
rebound [clicks],shaft speed [mm/s],force [N]
0,-600,-2400
0,-200,-800
0,-50,-200
0,50,100
0,200,400
0,600,1200
10,-600,-1200
10,-200,-400
10,-50,-100
10,50,100
10,200,400
10,600,1200
"""


@pytest.fixture
def sheet_text():
    """A whole vehicle sheet: corner 400 kg on 40 N/mm, motion ratio 0.5."""
    return SHEET


@pytest.fixture
def dyno_text():
    """A whole table of a rebound-only damper: 2 kN·s/m in bump; 4 closed to 2 open in rebound."""
    return DYNO


@pytest.fixture
def save(tmp_path):
    """Return a function that writes a file and returns its path."""

    def save(name, content):
        path = tmp_path / name
        raw = content if isinstance(content, bytes) else content.encode()
        path.write_bytes(raw)
        return path

    return save


def straight(per_click):
    """Return a damper law: N at a signed speed in m/s, straight, softer with every click."""

    def law(speed, clicks):
        bump, rebound = per_click(*clicks)
        return (bump if speed > 0 else rebound) * speed

    return law


@pytest.fixture
def laws():
    """Straight damper laws with coefficients known in closed form, in N·s/m."""
    return SimpleNamespace(
        both=straight(lambda n: (3000 - 100 * n, 5000 - 100 * n)),
        rebound_only=straight(lambda n: (2000, 4000 - 100 * n)),
    )


@pytest.fixture
def stand(save):
    """Return a function that measures a law and writes the table as some stand would."""

    def number(value, comma):
        text = f"{value:.6g}"
        return text.replace(".", ",") if comma else text

    def stand(name, law, adjuster, settings, *, facts=(), speed=("mm/s", 1e-3), force=("N", 1.0),
              delimiter=",", comma=False, columns=(0, 1, 2), newline="\n"):  # fmt: skip
        lines = [f"# {key}: {value}" for key, value in facts]
        heads = [f"{adjuster} [clicks]", f"shaft speed [{speed[0]}]", f"force [{force[0]}]"]
        lines.append(delimiter.join(heads[i] for i in columns))
        for clicks in settings:
            for v in (-1.2, -0.6, -0.2, -0.1, -0.05, 0.05, 0.1, 0.2, 0.6, 1.2):
                f = law(v, (clicks,))
                cells = [str(clicks), number(v / speed[1], comma), number(f / force[1], comma)]
                lines.append(delimiter.join(cells[i] for i in columns))
        return save(name, newline.join(lines) + newline)

    return stand
