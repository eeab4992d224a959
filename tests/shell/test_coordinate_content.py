from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.metrics.inputs import default_u_px
from deliverylab.core.model.clip_changes import SetPositions
from deliverylab.core.model.track import Position
from deliverylab.core.workflow.review_entry import Look
from deliverylab.shell.coordinate_content import (
    NOTHING,
    coordinate_scene,
    doubt_text,
    landmark_to_show,
    placed_landmarks,
    position_text,
    tip_text,
)
from tests.shell.filmed_twice import filmed_twice

__all__ = ["filmed_twice"]

WRIST = "right_wrist"


def look_at(frame, text="40 px off", *, camera="side", landmark=WRIST, weight=1.0):
    return Look(
        delivery="Bo 1", camera=camera, frame=frame, landmark=landmark, reason="jump",
        text=text, weight=weight,
    )  # fmt: skip


def test_coordinates_run_across_and_up_with_twice_the_standard_uncertainty(placed_pair):
    placed_pair.project.apply(
        SetPositions(
            delivery="Bo 1", camera="side", what="Follow",
            positions={WRIST: {25: Position(513.0, 279.5, 3.5, "tracked")}},
        )
    )  # fmt: skip
    scene = coordinate_scene(placed_pair, "athlete", WRIST)
    assert scene.name == "Throwing wrist"
    assert scene.hue == "throwing"
    assert scene.frames.tolist() == [24, 25, 144, 180]
    assert scene.places[0] == pytest.approx(24 / 240)
    assert scene.values["across"][1] == 513.0
    # 720 rows: the lower edge lies half a pixel below the middle of the last
    assert scene.values["up"][1] == pytest.approx(719.5 - 279.5)
    assert scene.spread[1] == 7.0
    delivery, camera = placed_pair.delivery("athlete"), placed_pair.camera("athlete")
    assert scene.spread[0] == pytest.approx(2.0 * default_u_px(delivery, camera)[WRIST])
    assert scene.origins_shown == ("placed", "tracked")
    assert scene.marks == pytest.approx((0.1, 0.6, 0.75))


def test_a_partner_lies_on_the_axis_of_the_bar(placed_pair):
    scene = coordinate_scene(placed_pair, "model", "left_wrist")
    by_phase = placed_pair.timeline("athlete").time_at(placed_pair.timeline("model").phase_at(0.6))
    assert scene.places[1] == pytest.approx(by_phase)


def test_known_events_of_another_clip_are_marked_too(filmed_twice):
    filmed_twice.select("athlete", "Ana 3", "rear")
    assert len(coordinate_scene(filmed_twice, "athlete", WRIST).marks) == 7


def test_only_entries_of_this_landmark_in_this_clip_are_ringed_the_worst_first(placed_pair):
    looks = (
        look_at(144, "worst", weight=3.0),
        look_at(144, "lesser"),
        look_at(24, camera="rear"),
        look_at(180, landmark="left_knee"),
    )
    scene = coordinate_scene(placed_pair, "athlete", WRIST, looks)
    assert dict(scene.looks) == {144: "worst"}


def test_the_landmark_in_hand_is_shown_and_stays_while_frames_pass(placed_pair):
    assert (
        landmark_to_show(placed_pair, "athlete", "") == placed_landmarks(placed_pair, "athlete")[0]
    )
    placed_pair.show_frame("athlete", 24)
    placed_pair.choose_landmark("athlete", WRIST)
    assert landmark_to_show(placed_pair, "athlete", "left_knee") == WRIST
    placed_pair.show_frame("athlete", 30)
    assert landmark_to_show(placed_pair, "athlete", WRIST) == WRIST
    placed_pair.choose_landmark("athlete", "left_hip")
    assert landmark_to_show(placed_pair, "athlete", WRIST) == "left_hip"


def test_before_anything_is_placed_the_one_asked_for_is_named(pair):
    asked = pair.next_landmark("athlete")
    assert landmark_to_show(pair, "athlete", "") == asked
    scene = coordinate_scene(pair, "athlete", asked)
    assert position_text(scene, 0) == NOTHING
    assert placed_landmarks(pair, "athlete") == ()


def test_nothing_on_the_stage_gives_nothing(session):
    assert coordinate_scene(session, "athlete", WRIST).landmark == ""
    assert landmark_to_show(session, "athlete", "") == ""


def test_words_say_where_how_sure_and_what_to_check(placed_pair):
    scene = coordinate_scene(placed_pair, "athlete", WRIST, [look_at(144)])
    place = position_text(scene, 144)
    assert place.startswith("572.0 across, 439.5 up ± ")
    assert tip_text(scene, 144) == f"Frame 144, placed\n{place}\n40 px off"
    assert doubt_text(scene, 144) == "To check: 40 px off"
    assert doubt_text(scene, 24) == "To check: frame 144"
    assert position_text(scene, 30) == "No position in this frame"
    assert doubt_text(coordinate_scene(placed_pair, "athlete", WRIST), 24) == ""
    assert np.isfinite(scene.spread).all()
