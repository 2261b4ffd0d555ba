"""The compromise in a real browser: coarse first, every setting by button, a stop that is heard."""

import pytest

CELLS = ["from dampinglab.panels import compromise_panel", "compromise_panel()", "6 * 7"]
# Words that do not fit in their box, lists narrower than their longest words, and whatever reaches
# beyond the panel.
CUT = """panel => {
  const edge = panel.getBoundingClientRect().right + 1;
  const narrow = list => {
    const free = list.cloneNode(true);
    free.style.cssText = 'position:absolute; width:max-content; min-width:0; max-width:none';
    list.after(free);
    const wide = free.offsetWidth;
    free.remove();
    return wide > list.offsetWidth + 1;
  };
  return Array.from(panel.querySelectorAll(
             '.lm-Widget.widget-label, .dl-words, button, img, select'))
         .filter(part => part.scrollWidth > part.clientWidth + 1
                         || part.getBoundingClientRect().right > edge
                         || (part.matches('select') && narrow(part)))
         .map(part => part.innerText); }"""


@pytest.fixture
def notebook(open_notebook):
    opened = open_notebook(CELLS)
    opened.run(0)
    opened.run(1)
    opened.page.locator(".dl-panel img.dl-picture").first.wait_for()
    return opened


def test_coarse_then_finer_then_every_setting_until_it_is_stopped(notebook, wait_for):
    page, panel = notebook.page, notebook.page.locator(".dl-panel").first
    wait_for(page, "Balanced: low-speed bump \\d+ \\(\\d+\\), high-speed bump")
    wait_for(page, "cannot be told from it")  # it has looked closer, nobody pressed anything
    panel.get_by_role("button", name="Try every setting").click()
    wait_for(page, "Trying every setting: [1-9][\\d,]* of")
    notebook.run(2)  # the kernel still answers
    notebook.wait_for(2, "42")
    panel.get_by_role("button", name="Stop").click()
    wait_for(page, "what was done is kept")
    image = panel.locator("img.dl-picture")
    old = image.get_attribute("src")
    panel.get_by_label("What counts", exact=True).select_option("comfort first")
    wait_for(page, "Priority from balanced to comfort first, and the choice")
    assert image.get_attribute("src") != old
    assert "front" in image.get_attribute("alt")
    panel.get_by_role("button", name="Projector size").click()
    wait_for(page, "Priority from balanced")
    assert panel.evaluate(CUT) == []
    panel.get_by_role("button", name="Projector size").click()
    page.set_viewport_size({"width": 640, "height": 900})  # a page at 200 %
    wait_for(page, "Priority from balanced")
    assert panel.evaluate(CUT) == []
