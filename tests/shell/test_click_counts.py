"""How many clicks and keys a whole delivery takes, from the raw clip to all results and the page.

A scripted hand works in the real window on an example clip.  It knows where the landmarks truly are and
clicks there with a person's scatter; clicks and keys are those that reach the window.
"""

from __future__ import annotations

import csv
import json
import math
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QApplication

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.changes import replace
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store.detector_files import detector_weights
from deliverylab.core.vocabulary.events import EVENTS
from deliverylab.core.workflow.placing_plan import Ask
from tests.shell import gestures
from tests.shell.hand import Hand, hand_at_work

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
CLIP = EXAMPLES / "clips" / "athlete-side.mp4"
TRUTH = EXAMPLES / "truth" / "athlete-side"
SCATTER_PX = 1.0
CROWDED_PX = 16.0
MARKED = ("leg_lift", "foot_contact", "foot_plant", "full_layback", "release")
NUMBERS = {event.key: number for number, event in enumerate(EVENTS, 1)}
MOST_ROUNDS = 8
"""Of placing one frame more and tracking again."""


@pytest.fixture(scope="module")
def truth():
    """Return what is known of the clip, and the landmarks' true places by frame, px."""
    known = json.loads(TRUTH.with_suffix(".json").read_text("utf-8"))
    places: dict[int, dict[str, tuple[float, float]]] = {}
    with TRUTH.with_suffix(".csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            place = float(row["x_px"]), float(row["y_px"])
            places.setdefault(int(row["frame"]), {})[row["landmark"]] = place
    return known, places


class ClipHand(Hand):
    """Works through an example clip."""

    def know(self, truth):
        """Learn where everything is."""
        self.facts, self.places = truth
        self._random = np.random.default_rng(3)

    @property
    def side(self):
        return self.session.active_side

    def add_clip(self):
        """Open the clip and say who it is."""
        self.chosen_file(CLIP)
        self.click(self.window.welcome._clip)
        self.describe_delivery("Wim", "1.83 m")
        self.wait(lambda: self.canvas().is_exact)

    def go_near(self, frame):
        """Click the scrub bar about there, then step to the frame."""
        bar = self.window.scrub.bar
        layout = bar.layout_now()
        x = layout.x_of(float(bar.scene.rows[0].axis[frame]))
        self.click(bar, QPointF(x, layout.row_rect(0).center().y()))
        while (gap := frame - self.session.state(self.side).frame) != 0:
            self.key(Qt.Key.Key_Period if gap > 0 else Qt.Key.Key_Comma, kind="steps")

    def mark_events(self):
        """Mark the instants that matter: a click on the scrub bar, a step or two, a number."""
        marked = self.session.camera(self.side).marks
        for event in (each for each in MARKED if each not in marked):
            self.go_near(round(self.facts["events_s"][event] * 240.0))
            self.key(getattr(Qt.Key, f"Key_{NUMBERS[event]}"))

    def place_asked(self, is_enough):
        """Click the landmark that is asked for, where it truly is, until it is enough or all is placed."""
        canvas = self.canvas()
        while canvas.scene.next_key and not is_enough():
            frame, key = self.session.state(self.side).frame, canvas.scene.next_key
            self.wait(lambda: canvas.is_exact)
            place = self._random.normal(self.places[frame][key], SCATTER_PX)
            # where another point lies under the pointer, Ctrl says that this one is meant
            at = canvas.view.to_widget(*place)
            others = [canvas.view.to_widget(*shown[:2]) for shown in canvas.scene.points.values()]
            is_crowded = any(math.dist(at.toTuple(), one.toTuple()) < CROWDED_PX for one in others)
            keys = gestures.CTRL if is_crowded else gestures.NO_KEYS
            self.click(canvas, at, kind="placings", keys=keys)
            assert self.session.camera(self.side).track(key).at(frame) is not None
            assert QApplication.activeModalWidget() is None

    def go_on(self):
        """Place what is asked for here; where that is nothing that matters, go to the next that does."""
        frame, key = self.session.state(self.side).frame, self.canvas().scene.next_key
        plan = self.session.plan(self.side)
        if not key or plan.purpose_of(Ask(frame, key)) == "rest":
            self.key(Qt.Key.Key_P)
            frame = self.session.state(self.side).frame
        self.place_asked(lambda: self.session.state(self.side).frame != frame)

    def follow_until(self, aim):
        """Track, and place a frame more where that helps, until all results are shown."""
        self.follow()
        for _ in range(MOST_ROUNDS):
            if aim <= self.shown():
                return
            self.go_on()
            self.follow()
        assert aim <= self.shown()

    def detect(self):
        """Look for the landmarks in every fifth frame of the clip."""
        self.key(Qt.Key.Key_B, gestures.CTRL)
        panel = self.window.tool
        self.done["clicks"] += 2  # the list, and what is chosen from it
        panel.step.setCurrentIndex(panel.step.findData(5))
        self.click(panel.start)
        self.wait(lambda: not panel.working.is_busy, timeout=120_000)

    def follow(self):
        """Track between placed points."""
        self.key(Qt.Key.Key_T)
        panel = self.window.tool
        self.wait(lambda: not panel.working.is_busy, timeout=120_000)

    def hand_over(self, path):
        """Compare with a published group, have a plan suggested, and save the page."""
        self.done["clicks"] += 2  # the partner's button, and what is chosen from its list
        self.session.choose_partner("published college")
        self.key(Qt.Key.Key_K, gestures.CTRL)
        self.click(self.window.tool.suggest)
        assert self.session.work_plan().priorities
        self.key(Qt.Key.Key_P, gestures.CTRL)
        page = self.window.page
        self.wait(lambda: bool(page.pdf))
        self.chosen_file(path, method="getSaveFileName")
        self.click(page._save)
        assert path.read_bytes() == page.pdf

    def shown(self):
        """Return the results that are measured now."""
        return measured(self.session.delivery(self.side))


def measured(delivery):
    """Return which results are shown with a value, by metric and event."""
    return {(one.metric, one.event) for one in evaluate(delivery) if one.status == "measured"}


def with_everything(delivery, facts, places):
    """Return the delivery with all landmarks of all frames and all events: what it can show at most."""
    camera = delivery.cameras[0]
    keys = [key for key in places[0] if key != "ball"]
    tracks = {
        key: Track.of((frame, Position(*at[key])) for frame, at in places.items()) for key in keys
    }
    marks = {event: Mark(time_s=facts["events_s"][event]) for event in MARKED}
    return replace(delivery, cameras=(replace(camera, tracks=tracks, marks=marks),))


def report(hand, way, took_s):
    """Print what it took, and return how many clicks of the mouse that were."""
    n_clicks = hand.done["clicks"] + hand.done["placings"]
    keys = hand.done["keys"] + hand.done["steps"]
    sys.stdout.write(
        f"\n{way}: {n_clicks} clicks, {hand.done['placings']} of them placing; {keys} keys, "
        f"{hand.done['letters']} letters of names and lengths; {took_s:.0f} s without the person\n"
    )
    return n_clicks


def test_by_hand_and_by_tracking(qtbot, tmp_path, monkeypatch, truth):
    begun = time.perf_counter()
    with hand_at_work(ClipHand, qtbot, tmp_path, monkeypatch) as hand:
        hand.know(truth)
        hand.add_clip()
        hand.set_scale(hand.facts["scale_stick"]["points_px"], 1.0)
        hand.mark_events()
        aim = measured(with_everything(hand.session.delivery(hand.side), *truth))
        hand.next()
        hand.place_asked(lambda: not any(hand.session.event_coverage(hand.side).values()))
        # all postures are there; speeds need the body between and beside the events
        assert {metric for metric, _ in aim - hand.shown()} == {
            "com_forward_speed", "max_com_forward_speed",
        }  # fmt: skip
        for _ in range(2):
            hand.go_on()
        hand.follow_until(aim)
        assert report(hand, "by hand and tracking", time.perf_counter() - begun) <= 150


@pytest.mark.skipif(
    detector_weights() is None, reason="the landmark detector is not installed (get-detector)"
)
def test_with_the_detector(qtbot, tmp_path, monkeypatch, truth):
    begun = time.perf_counter()
    with hand_at_work(ClipHand, qtbot, tmp_path, monkeypatch, has_detector=True) as hand:
        hand.know(truth)
        hand.add_clip()
        hand.set_scale(hand.facts["scale_stick"]["points_px"], 1.0)
        hand.detect()
        hand.follow()
        watch = hand.window.suggestion_watch
        hand.wait(lambda: not watch.is_due and not watch.is_working)
        hand.key(Qt.Key.Key_A)
        hand.mark_events()  # those that are not suggested
        aim = measured(with_everything(hand.session.delivery(hand.side), *truth))
        hand.next()
        hand.place_asked(lambda: not any(hand.session.event_coverage(hand.side).values()))
        hand.follow_until(aim)
        report(hand, "with the detector", time.perf_counter() - begun)
        hand.hand_over(tmp_path / "page.pdf")
        assert report(hand, "with plan and page", time.perf_counter() - begun) <= 60
