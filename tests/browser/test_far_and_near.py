"""Every panel at the back of a room and enlarged to twice its size: letters in pixels, no cut."""

import pytest

from dampinglab.figures.look import ROOM
from tests.browser.conftest import CUT as NAMED

PANELS = ("stand", "sag", "settle", "bounce", "curve", "cutaway", "press", "zones", "corner",
          "response", "lean", "load", "sinking", "complaint")  # fmt: skip
LEAST = 20  # px of the smallest letters on a screen 1920 px wide
# Of each panel the smallest letters: of drawn pictures, whose own are so many px, of drawings, and
# of all other words.
LETTERS = """letters => Array.from(document.querySelectorAll('.dl-panel'), panel => {
  const size = one => parseFloat(getComputedStyle(one).fontSize);
  const scale = one => { const svg = one.closest('svg.dl-moving');
                         return svg ? svg.clientWidth / svg.viewBox.baseVal.width : 1; };
  const says = one => [...one.childNodes].some(part => part.nodeType === 3 && part.data.trim());
  const seen = one => one.getBoundingClientRect().width > 2 && one.tagName !== 'STYLE';
  const words = [...panel.querySelectorAll('*')].filter(one => says(one) && seen(one));
  const pictures = [...panel.querySelectorAll('img.dl-picture')];
  return [panel.ariaLabel, Math.min(
      ...words.map(one => size(one) * scale(one)),
      ...pictures.map(one => letters * one.clientWidth / one.naturalWidth))];
})"""
# Words, boxes and pictures that reach beyond the panel, or beyond a box that hides the rest.
CUT = """() => Array.from(document.querySelectorAll('.dl-panel'), panel => {
  const beyond = [], edge = panel.getBoundingClientRect();
  const text = document.createTreeWalker(panel, NodeFilter.SHOW_TEXT), range = new Range();
  const unseen = one => one.getBoundingClientRect().width <= 2 || one.offsetHeight <= 2;
  const free = one => !one.closest('svg, style, option, .dl-scores') && !unseen(one);
  const outside = (box, what) => {
    if (box.width > 2 && (box.right > edge.right + 1 || box.left < edge.left - 1))
      beyond.push(what.slice(0, 60));
  };
  while (text.nextNode()) {
    const node = text.currentNode, holder = node.parentElement;
    if (!node.data.trim() || !free(holder)) continue;
    range.selectNodeContents(node);
    outside(range.getBoundingClientRect(), node.data);
  }
  for (const one of panel.querySelectorAll('input, select, button, img, svg, .noUi-target'))
    outside(one.getBoundingClientRect(), one.outerHTML);
  for (const one of panel.querySelectorAll('.widget-box'))
    if (one.scrollWidth > one.clientWidth + 2 && getComputedStyle(one).overflowX !== 'visible')
      beyond.push(`scrolls: ${one.textContent.slice(0, 40)}`);
  return [panel.ariaLabel, beyond];
})"""

# Panels on a wide screen whose controls do not stand beside their picture, each in a place of its
# own.
BELOW = """() => [...document.querySelectorAll('.dl-panel:has(> .dl-view)')].filter(panel => {
  const edge = panel.querySelector(':scope > .dl-view').getBoundingClientRect().right;
  const boxes = Array.from(panel.querySelectorAll('.dl-control'), e => e.getBoundingClientRect());
  const seen = boxes.filter(box => box.width > 2).sort((one, other) => one.top - other.top);
  return seen.some((box, i) => box.left < edge || i && box.top < seen[i - 1].bottom - 1);
}).map(panel => panel.ariaLabel)"""
# Panels with their top at the top of the screen whose words are out of sight.
UNREAD = """() => [...document.querySelectorAll('.dl-panel:has(> .dl-said)')].filter(panel => {
  panel.scrollIntoView({block: 'start'});
  const end = part => part.getBoundingClientRect().bottom;
  return end(panel.querySelector('.dl-said')) > end(panel.closest('.jp-WindowedPanel-outer'));
}).map(panel => panel.ariaLabel)"""
# Panels with their top at the top of the screen whose words cover some of their picture.
COVERED = """() => [...document.querySelectorAll('.dl-panel:has(> .dl-said)')].filter(panel => {
  panel.scrollIntoView({block: 'start'});
  const box = part => panel.querySelector(`:scope > ${part}`).getBoundingClientRect();
  return box('.dl-view').bottom > box('.dl-said').top;
}).map(panel => panel.ariaLabel)"""
LONG = {"From the road to the shaft", "What damping can and cannot change"}  # pictures of two parts
# Panels that cannot be seen at once, picture and words: either is more than the screen holds.
TALLER = """() => [...document.querySelectorAll('.dl-panel:has(> .dl-said)')].filter(panel => {
  const tall = part => panel.querySelector(`:scope > ${part}`).offsetHeight;
  const screen = panel.closest('.jp-WindowedPanel-outer').offsetHeight;
  return tall('.dl-view') + tall('.dl-said') > screen;
}).map(panel => panel.ariaLabel)"""
# Panels whose controls are out of sight when their words have been scrolled to.
LEFT = """() => [...document.querySelectorAll('.dl-panel:has(> .dl-said)')].filter(panel => {
  panel.scrollIntoView({block: 'end'});
  const top = panel.closest('.jp-WindowedPanel-outer').getBoundingClientRect().top;
  return panel.querySelector('.dl-control').getBoundingClientRect().top < top;
}).map(panel => panel.ariaLabel)"""
FOLD = "() => window.jupyterapp.shell.collapseLeft()"
UNFOLD = "() => window.jupyterapp.shell.expandLeft()"

PANELS_SEEN = "[...document.querySelectorAll('.dl-panel')]"
# WCAG 2.1, success criterion 1.4.12 (the figures from memory): what a reader may do to letters. A
# wide font does as much.
SPACED = """.dl-panel * {letter-spacing:0.12em !important; word-spacing:0.16em !important}"""


@pytest.fixture
def page(open_panels):
    return open_panels(PANELS)


def see_together_on_a_small_screen(page):
    """Look at picture, words and controls, beside the list of files and without it."""
    page.evaluate(UNFOLD)
    page.wait_for_timeout(500)
    assert page.evaluate(UNREAD) == page.evaluate(TALLER) == []
    page.evaluate(FOLD)
    page.wait_for_timeout(500)
    assert page.evaluate(BELOW) == page.evaluate(LEFT) == []
    assert set(page.evaluate(COVERED)) <= LONG


def test_nothing_is_cut_at_twice_the_size_and_all_can_be_read_from_the_last_row(page):
    page.set_viewport_size({"width": 640, "height": 450})  # 1280 by 900 enlarged to 200 %
    page.wait_for_timeout(500)
    assert [told for told in page.evaluate(CUT) if told[1]] == []
    page.set_viewport_size({"width": 1280, "height": 800})
    see_together_on_a_small_screen(page)
    spaced = page.add_style_tag(content=SPACED)
    beyond, cut = page.evaluate(CUT), page.evaluate(f"() => {PANELS_SEEN}.flatMap({NAMED})")
    spaced.evaluate("one => one.remove()")
    assert ([told for told in beyond if told[1]], cut) == ([], [])
    page.set_viewport_size({"width": 1920, "height": 1080})
    switches = page.get_by_role("button", name="Projector size")
    for i in range(len(PANELS)):
        switches.nth(i).click()
    large = f"() => document.querySelectorAll('.dl-panel.dl-room').length === {len(PANELS)}"
    page.wait_for_function(large)
    images = "[...document.querySelectorAll('img.dl-picture')]"
    page.wait_for_function(f"() => {images}.every(one => one.naturalWidth > 890)")
    letters = page.evaluate(LETTERS, ROOM.font * ROOM.dpi / 72)
    assert {name: px for name, px in letters if px < LEAST} == {}
    assert page.evaluate(BELOW) == page.evaluate(UNREAD) == []
