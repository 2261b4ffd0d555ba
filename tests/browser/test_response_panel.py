"""What damping can and cannot change, in a real browser: keyboard, typed mass, projector."""

import pytest


@pytest.fixture
def shown(show_panel):
    return show_panel("response_panel")


def test_ratio_response_mass_and_projector_move_picture_and_words(shown):
    shown.wait_for("No change. At 9.4 Hz every damper")
    old = shown.picture()
    shown.slide("Damping ratio", "ArrowRight")
    shown.wait_for("Damping ratio from 0.30 to 0.31")
    shown.wait_for_another(old)
    assert shown.picture()[1] != old[1]
    shown.choose("Show", "wheel travel")
    shown.wait_for("give the same wheel travel")
    shown.type("Body mass", "700")
    shown.wait_for("body mass from 560 kg to 700 kg")
    assert shown.cut() == []
    shown.widen()
    assert shown.cut() == []
