"""Making the clip, as it is shown."""

from __future__ import annotations

from pathlib import Path

import pytest

from deliverylab.shell.widgets.walk_maker import WalkMaker


@pytest.fixture
def maker(qtbot):
    made = WalkMaker()
    qtbot.addWidget(made)
    made.show()
    return made


def test_without_a_script_there_is_no_clip(maker):
    assert not maker.make.isEnabled()
    assert maker.make.text() == "Make the clip …"
    assert maker.play.isHidden() or not maker.play.isVisible()


def test_it_says_how_long_the_clip_will_be_and_how_far_it_is(maker):
    maker.show_state(length="21 s", is_busy=False, share=0.0, made=None)
    assert maker.make.isEnabled()
    assert maker.make.text() == "Make the clip, 21 s …"
    maker.show_state(length="21 s", is_busy=True, share=0.4, made=None)
    assert not maker.make.isEnabled()
    assert maker.bar.value() == 400
    assert maker.said.text() == "Making the clip: 40%"
    maker.show_state(length="21 s", is_busy=False, share=1.0, made=Path("a/clip.mp4"))
    assert maker.said.text() == "clip.mp4 is ready."
    assert maker.play.isVisible()


def test_a_problem_stays_until_it_is_taken_back(maker):
    maker.say_problem("No room on the disk.")
    maker.show_state(length="21 s", is_busy=False, share=0.0, made=None)
    assert maker.said.text() == "No room on the disk."
    maker.say_problem("")
    maker.show_state(length="21 s", is_busy=False, share=0.0, made=None)
    assert maker.said.isHidden()


def test_the_size_is_the_chosen_one(maker):
    assert maker.clip_size == (1920, 1080)
    maker.sizes.setCurrentIndex(2)
    assert maker.clip_size == (1080, 1920)
