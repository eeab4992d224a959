"""From an empty window to a saved pair with its page, by the hand's own clicks and keys."""

from __future__ import annotations

import sys
from collections import Counter

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from deliverylab.core.video.writer import write_clip
from deliverylab.core.vocabulary.events import EVENTS
from tests.shell import gestures
from tests.shell.conftest import figure_tracks
from tests.shell.hand import Hand, hand_at_work

N_FRAMES = 120
AT_FRAMES = {
    "leg_lift": 20,
    "foot_contact": 70,
    "foot_plant": 73,
    "full_layback": 84,
    "release": 90,
}
NUMBERS = {event.key: number for number, event in enumerate(EVENTS, 1)}


class PlacingHand(Hand):
    """A hand that marks and places what this flow is about."""

    def mark_events(self):
        """Go to each event by keys and mark it by its number."""
        self.next()
        for event, frame in AT_FRAMES.items():
            side = self.session.active_side
            while (gap := frame - self.session.state(side).frame) != 0:
                far = abs(gap) >= 10
                ahead, back = (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp)
                near_ahead, near_back = (Qt.Key.Key_Period, Qt.Key.Key_Comma)
                key = (ahead if far else near_ahead) if gap > 0 else (back if far else near_back)
                self.key(key, kind="steps")
            self.key(getattr(Qt.Key, f"Key_{NUMBERS[event]}"))
        marked = self.session.camera(self.session.active_side).marks
        assert set(marked) == set(AT_FRAMES)

    def place_landmarks(self, n_events):
        """Place what results need at the first events: one click each, and none in between."""
        self.next()
        side, canvas = self.session.active_side, self.canvas()
        frames = set()
        while True:
            frame, key = self.session.state(side).frame, canvas.scene.next_key
            frames.add(frame)
            if len(frames) > n_events or not any(self.session.event_coverage(side).values()):
                return
            self.wait(lambda: canvas.is_exact)
            place = figure_tracks([frame])[key].at(frame)
            at = canvas.view.to_widget(place.x_px, place.y_px)
            self.click(canvas, at, kind="placings")
            assert self.session.camera(side).track(key).at(frame) is not None
            assert QApplication.activeModalWidget() is None


@pytest.fixture
def clips(tmp_path):
    """Two small clips of nothing in particular, 1280 x 720, 60 a second."""
    paths = []
    for name in ("bo", "kim"):
        pictures = (np.full((720, 1280, 3), 40 + n, np.uint8) for n in range(N_FRAMES))
        paths.append(write_clip(tmp_path / f"{name}.mp4", pictures, 60))
    return paths


@pytest.fixture
def hand(qtbot, tmp_path, monkeypatch):
    with hand_at_work(PlacingHand, qtbot, tmp_path, monkeypatch) as made:
        yield made


def test_from_nothing_to_a_page_by_clicks_and_keys(hand, clips, qtbot, tmp_path):
    window, session = hand.window, hand.session
    hand.chosen_file(clips[0])
    hand.click(window.welcome._clip)
    hand.describe_delivery("Bo")
    hand.wait(lambda: hand.canvas().is_exact)
    hand.set_scale()
    hand.mark_events()
    hand.place_landmarks(5)
    hand.wait(lambda: bool(window.readings.rows))
    first = Counter(hand.done)
    hand.chosen_file(clips[1])
    hand.click(window.top_bar._compare)
    hand.describe_delivery("Kim")
    hand.wait(lambda: hand.canvas().is_exact)
    hand.set_scale()
    hand.mark_events()
    hand.place_landmarks(5)
    hand.wait(lambda: bool(session.differences()))
    assert session.record.pair == ("Bo 1", "Kim 1")
    shown = {row.result.metric for row in window.readings.rows.values()}
    assert {"lead_knee_height", "trunk_forward_tilt", "contact_to_release_time"} <= shown
    hand.key(Qt.Key.Key_P, gestures.CTRL)
    hand.wait(lambda: bool(window.page.pdf))
    path = tmp_path / "spring.delivery"
    hand.chosen_file(path, method="getSaveFileName")
    hand.key(Qt.Key.Key_S, gestures.CTRL)
    assert path.is_file()
    assert not session.is_modified
    before = session.record
    session.new_project()
    window.files.open(path)
    assert session.record == before
    sys.stdout.write(f"\none delivery: {dict(first)}; pair with page, saved: {dict(hand.done)}\n")
    asked = first["clicks"] + first["keys"]
    # one delivery without its points, letters and steps through the clip
    assert asked <= 20, first
    # all one-camera results of postures, at all five events
    assert first["placings"] == 57
