"""A rule's picture in a cell: the demo wagon's three corners, or the learner's own."""

import re

import pytest

from dampinglab.errors import LearnerError
from dampinglab.panels import evidence_picture
from dampinglab.workshop import demo
from dampinglab.workshop.evidence import evidence


def plain(page):
    return re.sub("<[^>]+>", "", page).replace("&nbsp;", " ")


def words(shown):
    return plain(shown.children[1].value)


def test_the_wagons_three_corners_are_shown():
    told = words(evidence_picture("sharp over small bumps"))
    front = evidence("R3", demo.vehicle().corner("front"), demo.hydraulic("front")).turned.values
    assert f"front {front[0]:.2f} to {front[-1]:.2f} m/s²; rear empty" in told
    assert "rear loaded" in told
    assert "The rule (common practice, no source) holds here." in told


def test_the_learners_corner_stands_alone_with_its_alternative_text():
    own = {"my rear": (demo.vehicle("utility").corner("rear"), demo.damper("rear"))}
    shown = evidence_picture("drops into holes", own)
    assert "my rear" in words(shown)
    assert "rear empty" not in words(shown)
    assert 'alt="Tyre load over the hole' in shown.children[0].value


def test_an_unknown_complaint_gets_one_sentence():
    with pytest.raises(LearnerError, match="There is no rule 'it squeaks'; there are: hits the"):
        evidence_picture("it squeaks")


def test_the_projector_switch_enlarges_picture_and_words():
    shown = evidence_picture("sharp over small bumps")
    *small, switch = shown.children
    switch.value = True
    picture, said, _ = shown.children
    assert words(shown) == plain(small[1].value)
    assert "max-width:920px" in small[0].value
    assert "max-width:1240px" in picture.value
    assert "font-size:27px" in said.value
