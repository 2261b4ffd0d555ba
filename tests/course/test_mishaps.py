"""A mistyped line of the course gets one sentence, in the kernel that `dampinglab start` runs."""

import os

import pytest
from jupyter_client.kernelspec import KernelSpecManager
from jupyter_client.manager import KernelManager

from dampinglab import serve

SETUP = "from dampinglab.course import check, hint, practise, solution"


@pytest.fixture(scope="module")
def kernel(tmp_path_factory):
    """Return what runs one cell in a fresh kernel: the reply and the lines of its error."""
    specs = KernelSpecManager(kernel_dirs=[str(serve.SETTINGS / "kernels")])
    manager = KernelManager(kernel_name="python3", kernel_spec_manager=specs)
    workbook = str(tmp_path_factory.mktemp("workbook"))
    manager.start_kernel(env={**os.environ, "DAMPINGLAB_WORKBOOK": workbook}, cwd=workbook)
    client = manager.blocking_client()
    client.start_channels()
    client.wait_for_ready(timeout=60)

    def run(cell):
        told = []

        def hear(message):
            if message["msg_type"] == "error":
                told.extend(message["content"]["traceback"])

        reply = client.execute_interactive(cell, output_hook=hear, timeout=60)["content"]
        assert (reply["status"] == "error") == bool(told)  # a marker sees the failure too
        return told

    yield run
    client.stop_channels()
    manager.shutdown_kernel(now=True)


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ('check("0.1", 245)', "`check` is not known yet: run the first grey cell, then this one"),
        ("bounce_panel()", "`bounce_panel` is not known yet: run the first grey cell"),
        ("demo('touring wagon')", "`demo` is not known yet: run the first grey cell"),
        ('Check("0.1", 245)', "`Check` is not known: it is spelled `check`."),
        ('practice("0.1")', "`practice` is not known: it is spelled `practise`."),
    ],
)
def test_a_name_of_the_course_before_the_first_grey_cell(kernel, cell, said):
    (line,) = kernel(f"get_ipython().run_line_magic('reset', '-sf')\n{cell}")
    assert line.startswith(said)


READ = 'This line cannot be read: it must look like check("0.2", 12.5), with both brackets, the'


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ('check("0.2", 245', READ),
        ('check "0.2", 245)', READ),
        ('check("0.2" 245)', READ),
        ('check("0.2"; 245)', READ),
        ('check("0.2, 245)', READ),
        ('Check("0.2", 245', READ),
        ("check()", "This line cannot be read: it must look like"),
        ('hint("1.2"', 'This line cannot be read: it must look like hint("1.2"), with both'),
        ("bounce_panel(", "This line cannot be read: it must look like bounce_panel(), with"),
        ('x = 1\n  check("0.1", 3)', "This line must begin at the left edge"),
        ('check("0.1", 1/0)', "The answer in this line cannot be worked out (division by zero)"),
        ('check("0.1", 3, seed=height)', "The answer in this line cannot be worked out"),
    ],
)
def test_a_line_of_the_course_that_cannot_be_read(kernel, cell, said):
    assert kernel(SETUP) == []
    (line,) = kernel(cell)
    assert line.startswith(said)


@pytest.mark.parametrize("cell", ["1/0", "x = (3", "height + 1", "check = (3", "len()", "  if 1"])
def test_every_other_error_stays_as_it_is(kernel, cell):
    assert kernel(SETUP) == []
    shown = kernel(cell)
    # From Python 3.13 on, an unclosed bracket is an IncompleteInputError, a kind of SyntaxError.
    assert len(shown) > 1 or "SyntaxError" in shown[0] or "IncompleteInputError" in shown[0]


def test_curly_quotes_are_read_as_straight_ones(kernel):
    assert kernel(f'{SETUP}\ncheck(“0.1”, "“25 N”")\ncheck("0.1", “25 N”)\nhint(‘0.1’)') == []


def test_the_kernel_of_the_course_hides_nothing_in_the_learners_names(kernel):
    assert kernel("get_ipython().run_line_magic('reset', '-sf')\nassert 'check' not in dir()") == []
