"""The hand itself works: it opens, runs, types and reads."""

import pytest


def test_runs_a_notebook_and_reads_its_outputs(open_notebook):
    notebook = open_notebook(["2 + 40", "'a' + 'b'"])
    assert notebook.run_all()
    assert notebook.text(0) == "42"
    assert notebook.text(1) == "'ab'"


def test_types_an_answer_and_reads_the_reply(open_notebook):
    says = "def check(name, answer): return f'{name} got {answer}'"
    notebook = open_notebook([says, 'check("0.1", ...)'])
    assert notebook.run_all()
    assert notebook.text(1) == "'0.1 got Ellipsis'"
    assert notebook.answer("0.1", "350") == "'0.1 got 350'"


def test_says_that_a_cell_raised(open_notebook):
    notebook = open_notebook(["1 / 0", "'after'"])
    assert not notebook.run_all()
    assert "ZeroDivisionError" in notebook.text(0)


def test_shows_a_widget_and_moves_it_by_keyboard(open_notebook):
    notebook = open_notebook(["import ipywidgets; s = ipywidgets.IntSlider(5); s"])
    notebook.run_all()
    handle = notebook.output(0).get_by_role("slider").first
    handle.wait_for()
    handle.focus()
    notebook.page.keyboard.press("ArrowRight")
    notebook.wait_for(0, "6")


WORDS = "document.querySelector('.jp-OutputArea-output').innerText"
THREADS = """import ipywidgets, threading
told, key = ipywidgets.Label("never"), ipywidgets.ToggleButton(description="Press")
def answer(change): told.value += f", now on {threading.current_thread().name}"
key.observe(answer, "value")
ipywidgets.VBox([key, told])"""


def test_controls_are_answered_where_the_cells_run_so_one_after_another(open_notebook):
    """With a thread for some controls, a choice and the press after it came the wrong way round."""
    notebook = open_notebook([THREADS])
    notebook.run_all()
    key = notebook.output(0).get_by_role("button", name="Press")
    for times in (1, 2, 3):
        key.click()
        notebook.page.wait_for_function(f"() => {WORDS}.split(' on ').length > {times}")
    assert notebook.text(0).count(" on MainThread") == 3


@pytest.mark.parametrize("window", [(640, 450), (1366, 650)], ids=["enlarged", "laptop"])
def test_the_list_of_files_leaves_a_small_window_to_the_notebook(open_notebook, window):
    page = open_notebook(["1"]).page
    page.evaluate("() => window.jupyterapp.shell.expandLeft()")
    wide = "() => document.querySelector('.jp-Notebook').clientWidth > 0.8 * innerWidth"
    assert not page.evaluate(wide)
    page.set_viewport_size(dict(zip(("width", "height"), window, strict=True)))
    page.wait_for_function(wide)


def test_prose_is_not_wider_than_a_panel_on_a_large_screen(open_notebook):
    page = open_notebook("00-start-here.ipynb", width=1920).page
    longest = page.evaluate("""() => Math.max(...Array.from(
        document.querySelectorAll('.jp-RenderedMarkdown p'), line => line.clientWidth))""")
    assert 600 < longest <= 980


def test_letters_typed_in_a_list_are_no_commands_and_on_a_cell_they_are(open_notebook):
    names = "import ipywidgets; ipywidgets.Dropdown(options=['corrugation', 'axle', 'ball'])"
    notebook = open_notebook([names])
    notebook.run_all()
    chosen = notebook.output(0).get_by_role("combobox")
    chosen.focus()
    for letter in "bax":  # of JupyterLab: a cell below, a cell above, cut
        notebook.page.keyboard.press(letter)
    assert notebook.sources() == [names]
    notebook.page.evaluate("() => document.querySelector('.jp-Cell').focus()")
    notebook.page.keyboard.press("b")
    assert len(notebook.sources()) == 2


def test_what_the_page_complains_of_is_noted(open_notebook):
    notebook = open_notebook(["1"])
    notebook.page.evaluate("() => console.error('a planted error')")
    notebook.page.evaluate("() => { setTimeout(() => { throw new Error('another'); }); }")
    notebook.page.wait_for_timeout(100)
    assert [told.split("\n")[0] for told in notebook.complaints] == ["a planted error", "another"]
    notebook.complaints.clear()
