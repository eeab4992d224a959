"""Tracking by key in the window: progress, what was lost, a stop, and corrections followed anew."""

from __future__ import annotations

import threading

import numpy as np
import pytest
from PySide6.QtCore import Qt

from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.video.writer import write_clip
from deliverylab.shell.dialogs.tracking import TrackPanel
from deliverylab.shell.window.tracking import LOOKING
from tests.core.tracking.turned import filmed, turning
from tests.core.workflow.slid import PATH, N, slid
from tests.shell.detected import show_walk
from tests.shell.tracked import stand_in, straight


@pytest.fixture
def walking(window, session, monkeypatch, tmp_path):
    """The window with a wrist and an ankle placed in two frames of the walk."""
    stand_in(monkeypatch)
    show_walk(session, tmp_path / "walk")
    for frame in (2, 12):
        session.show_frame("athlete", frame)
        session.place_landmark("athlete", "left_wrist", 100.0 + 5 * frame, 80.0)
        session.place_landmark("athlete", "left_ankle", 90.0 + 5 * frame, 170.0)
    session.undo_stack.clear()
    window.stages["athlete"].canvas.setFocus()
    return window


def wrist(session):
    return session.camera("athlete").track("left_wrist")


def test_one_key_tracks_all_and_a_lost_stretch_is_a_click_away(walking, session, qtbot):
    qtbot.keyClick(walking.stages["athlete"].canvas, Qt.Key.Key_T)
    panel = walking.tool
    assert isinstance(panel, TrackPanel)
    qtbot.waitUntil(lambda: len(wrist(session)) == 11)
    assert panel.answer.text == "18 points of 2 landmarks tracked, lost in 2 places"
    assert len(panel.cards) == 2
    qtbot.mouseClick(panel.cards[0], Qt.MouseButton.LeftButton)
    assert session.state("athlete").frame == 13
    assert session.next_landmark("athlete") in {"left_wrist", "left_ankle"}
    walking.notices._button.click()
    assert len(wrist(session)) == 2


def test_the_current_landmark_alone_is_tracked(walking, session, qtbot):
    session.show_frame("athlete", 2)
    session.choose_landmark("athlete", "left_ankle")
    canvas = walking.stages["athlete"].canvas
    qtbot.keyClick(canvas, Qt.Key.Key_T, Qt.KeyboardModifier.ShiftModifier)
    qtbot.waitUntil(lambda: len(session.camera("athlete").track("left_ankle")) == 11)
    assert len(wrist(session)) == 2


def test_nothing_placed_is_said_in_the_panel(window, session, tmp_path, qtbot):
    show_walk(session, tmp_path / "walk")
    window.track_all()
    qtbot.waitUntil(lambda: bool(window.tool.problem.text()))
    assert "Nothing is placed" in window.tool.problem.text()
    assert window.tool.all.isEnabled()


def test_stopped_or_closed_nothing_is_changed(walking, session, monkeypatch, qtbot):
    may_go_on = threading.Event()

    def slow(*args, **settings):
        may_go_on.wait(10.0)
        return straight(*args, **settings)

    stand_in(monkeypatch, slow)
    walking.track_all()
    panel = walking.tool
    assert not panel.all.isEnabled()
    qtbot.mouseClick(panel.working.stop, Qt.MouseButton.LeftButton)
    may_go_on.set()
    qtbot.waitUntil(panel.all.isEnabled)
    assert "Nothing was changed" in panel.answer.text
    may_go_on.clear()
    panel.follow()
    session.new_project()
    may_go_on.set()
    qtbot.wait(100)
    assert walking.tool is None
    assert session.undo_stack.count() == 0


def test_after_a_correction_the_gaps_beside_it_follow_by_themselves(walking, session, qtbot):
    walking.track_all()
    qtbot.waitUntil(lambda: len(wrist(session)) == 11)
    session.show_frame("athlete", 7)
    session.place_landmark("athlete", "left_wrist", 200.0, 80.0)
    qtbot.waitUntil(lambda: wrist(session).at(6).x_px > 150.0, timeout=5_000)
    qtbot.waitUntil(lambda: not walking.corrections.is_busy)
    session.undo()
    assert wrist(session).at(6).x_px == pytest.approx(130.0)
    assert wrist(session).at(7).origin == "tracked"


def test_an_undo_before_the_gaps_are_followed_leaves_them(walking, session, qtbot):
    walking.track_all()
    qtbot.waitUntil(lambda: len(wrist(session)) == 11)
    session.show_frame("athlete", 7)
    session.place_landmark("athlete", "left_wrist", 200.0, 80.0)
    session.undo()
    qtbot.waitUntil(lambda: not walking.corrections.is_busy, timeout=5_000)
    assert wrist(session).at(6).x_px == pytest.approx(130.0)
    assert wrist(session).at(7).origin == "tracked"


@pytest.mark.parametrize(("frames", "n_bridged"), [((7,), 1), ((6, 7), 0)])
def test_short_gaps_are_bridged_in_one_step_and_longer_ones_named(
    walking, session, qtbot, frames, n_bridged
):
    walking.track_all()
    qtbot.waitUntil(lambda: len(wrist(session)) == 11)
    session.set_following_corrections(False)
    for frame in frames:
        session.show_frame("athlete", frame)
        session.remove_landmark("athlete", "left_wrist")
    canvas, panel = walking.stages["athlete"].canvas, walking.tool
    keys = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    qtbot.keyClick(canvas, Qt.Key.Key_T, keys)
    qtbot.waitUntil(lambda: "bridged" in panel.answer.text)
    bridged = wrist(session).at(7)
    if n_bridged:
        assert panel.answer.text == "1 point bridged, no gap stays open"
        assert bridged.origin == "filled"
        assert bridged.x_px == pytest.approx(135.0, abs=2.0)
        session.undo()
        assert wrist(session).at(7) is None
    else:
        assert panel.answer.text == "0 points bridged, 1 gap stays open"
        assert bridged is None
        assert panel.cards[0].accessibleName().startswith("Glove wrist, frames 6 to 7. The gap")


def test_escape_closes_the_summary_of_what_was_tracked(walking, session, qtbot):
    qtbot.keyClick(walking.stages["athlete"].canvas, Qt.Key.Key_T)
    panel = walking.tool
    qtbot.waitUntil(lambda: bool(panel.answer.text) and not panel.working.is_busy)
    qtbot.keyClick(panel, Qt.Key.Key_Escape)
    assert walking.tool is None
    assert len(wrist(session)) == 11


@pytest.fixture
def panned(window, session, tmp_path):
    """The window with a clip whose camera turned slowly."""
    turned = turning([(0.2 * frame, 0.0, 0.0) for frame in range(N)])
    shown = filmed(turned, patch_xy_px=PATH - 45.0)
    pictures = [np.repeat(shown(frame)[..., None], 3, axis=2) for frame in range(N)]
    clip = write_clip(tmp_path / "panned.mp4", pictures, rate=120)
    delivery = slid(clip=clip_reference(clip, None))
    session.project.apply(SetDelivery(name="slid", delivery=delivery))
    session.undo_stack.clear()
    return window


def test_a_cameras_own_motion_is_taken_out_and_put_back(panned, session, qtbot):
    assert panned.actions_by_key["steady"].isEnabled()
    panned.actions_by_key["steady"].trigger()
    qtbot.waitUntil(lambda: session.camera("athlete").motion is not None, timeout=20_000)
    assert session.camera("athlete").motion.reference_frame == session.state("athlete").frame
    assert "It is taken out" in panned.notices.text
    panned.actions_by_key["steady"].trigger()
    assert session.camera("athlete").motion is None
    session.undo()
    assert session.camera("athlete").motion is not None


def test_looking_at_the_background_can_be_stopped(panned, session, qtbot):
    panned.steady()
    qtbot.waitUntil(lambda: LOOKING in panned.notices.text, timeout=20_000)
    panned.notices._button.click()
    qtbot.waitUntil(lambda: "Stopped" in panned.notices.text, timeout=20_000)
    assert session.camera("athlete").motion is None
