from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.errors import DeliveryLabError, InputValueError
from deliverylab.core.model.changes import replace
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.shell.session_state import placing_keys
from tests.shell.conftest import SCALE, camera_of, delivery_of, figure_tracks


def _position(session, side, landmark):
    return session.camera(side).track(landmark).at(session.state(side).frame)


# ----------------------------------------------------------------------------------- structure


def test_the_first_delivery_goes_left_and_the_second_right(session):
    session.add_delivery(delivery_of("Bo 1"))
    assert session.state("athlete").delivery == "Bo 1"
    assert session.active_side == "athlete"
    session.add_delivery(delivery_of("Kim model"))
    assert session.state("model").delivery == "Kim model"
    assert session.record.pair == ("Bo 1", "Kim model")
    assert session.active_side == "model"
    with pytest.raises(InputValueError):
        session.add_delivery(delivery_of("Bo 1"))


def test_undoing_everything_empties_the_stages(session, qtbot):
    session.add_delivery(delivery_of("Bo 1"))
    session.add_delivery(delivery_of("Kim model"))
    while session.undo_stack.canUndo():
        session.undo()
    assert session.record.deliveries == ()
    assert session.delivery("athlete") is None
    assert session.delivery("model") is None
    while session.undo_stack.canRedo():
        session.redo()
    assert session.delivery("athlete").name == "Bo 1"
    assert session.delivery("model").name == "Kim model"


def test_a_renamed_delivery_stays_on_its_stage_also_after_undo(pair):
    model = pair.delivery("model")
    pair.set_delivery(model.name, replace(model, name="Kim 2"))
    assert pair.state("model").delivery == "Kim 2"
    assert pair.record.pair == ("Bo 1", "Kim 2")
    pair.undo()
    assert pair.state("model").delivery == "Kim model"
    assert pair.record.pair == ("Bo 1", "Kim model")


def test_removing_the_delivery_on_a_stage_leaves_it_empty(pair):
    pair.remove_delivery("Kim model")
    assert pair.delivery("model") is None
    pair.undo()
    assert pair.delivery("model").name == "Kim model"  # the pair still names it


def test_a_stage_can_be_emptied(pair):
    pair.select("model", None)
    assert pair.delivery("model") is None
    assert pair.record.pair is None
    assert pair.active_side == "athlete"


def test_a_delivery_without_a_camera_can_stand_on_a_stage(pair):
    bare = replace(delivery_of("Bare"), cameras=())
    pair.add_delivery(bare, side="athlete")
    assert pair.delivery("athlete").name == "Bare"
    assert pair.camera("athlete") is None
    assert pair.next_landmark("athlete") == ""
    assert pair.coverage("athlete").shape == (0,)
    assert pair.phase("athlete") is None
    with pytest.raises(DeliveryLabError):
        pair.select("athlete", "Bare", "side")


def test_linked_stages_show_the_same_phase(pair):
    pair.show_frame("athlete", 144 + 18)  # half way from contact (0.6 s) to release (0.75 s)
    assert pair.phase("athlete") == pytest.approx(150.0)
    # the partner's contact and release are at 0.6 and 0.76 s; its frames are 1/240 s apart
    assert pair.time_s("model") == pytest.approx(0.68, abs=0.5 / 240)
    pair.set_linked(False)
    pair.show_frame("model", 0)
    assert pair.state("athlete").frame == 162


def test_facts_of_a_delivery_can_be_corrected(pair):
    pair.set_athlete("Bo 1", replace(pair.delivery("athlete").athlete, hand="left"))
    pair.set_view("athlete", "rear")
    camera = pair.camera("athlete")
    assert pair.delivery("athlete").athlete.hand == "left"
    assert camera.view == "rear"
    pair.add_camera("Bo 1", camera_of(name="behind", view="rear"))
    pair.select("athlete", "Bo 1", "behind")
    assert pair.camera("athlete").name == "behind"


def test_intents_without_a_delivery_say_so(session):
    for intent in (
        lambda: session.place_landmark("athlete", "neck", 1, 2),
        lambda: session.mark_event("athlete", "release"),
        lambda: session.set_scale("athlete", SCALE),
    ):
        with pytest.raises(DeliveryLabError, match="no delivery"):
            intent()
    session.step(1)
    session.nudge(1, 0)
    assert not session.undo_stack.canUndo()


# -------------------------------------------------------------------------------------- frames


def test_frames_stay_within_the_trimmed_clip(session):
    session.add_delivery(delivery_of("Bo 1", first_frame=10, last_frame=99))
    assert session.state("athlete").frame == 10
    session.step(-5)
    assert session.state("athlete").frame == 10
    session.show_frame("athlete", 500)
    assert session.state("athlete").frame == 99
    assert session.time_s("athlete") == pytest.approx(99 / 240)


def test_events_are_gone_to_by_key_and_in_order(pair):
    pair.set_linked(False)
    pair.go_to_event("foot_contact")
    assert pair.state("athlete").frame == 144
    assert pair.state("model").frame == 0
    pair.next_event(1)
    assert pair.state("athlete").frame == 180
    pair.next_event(1)
    assert pair.state("athlete").frame == 180
    pair.next_event(-1)
    pair.next_event(-1)
    assert pair.state("athlete").frame == 24
    assert pair.event_at_frame("athlete") == "leg_lift"


def test_a_linked_partner_goes_to_its_own_event(pair):
    pair.go_to_event("release")
    assert pair.state("athlete").frame == 180
    assert pair.state("model").frame == round(0.76 * 240)


# ----------------------------------------------------------------------------------- landmarks


def test_landmarks_are_asked_for_in_order_and_announced(pair, qtbot):
    keys = placing_keys("right")
    heard = []
    pair.next_landmark_changed.connect(lambda side, key: heard.append((side, key)))
    assert pair.next_landmark("athlete") == keys[0] == "head_top"
    pair.place_landmark("athlete", keys[0], 100.25, 200.5)
    assert _position(pair, "athlete", keys[0])[:2] == (100.25, 200.5)
    assert heard == [("athlete", keys[1])]
    pair.skip_landmark("athlete")
    assert pair.next_landmark("athlete") == keys[2]
    pair.set_hidden("athlete", keys[2], True)
    assert pair.next_landmark("athlete") == keys[3]
    pair.choose_landmark("athlete", "ball")
    assert pair.next_landmark("athlete") == "ball"
    pair.place_landmark("athlete", "ball", 5, 5)
    assert pair.next_landmark("athlete") == keys[3]
    pair.undo()
    pair.undo()
    assert pair.next_landmark("athlete") == keys[3]
    pair.show_frame("athlete", 7)
    assert pair.next_landmark("athlete") == keys[0]


def test_nothing_is_asked_for_when_all_are_placed(pair):
    pair.set_going_on(False)
    for key in placing_keys("left"):
        pair.place_landmark("model", key, 10, 10)
    assert pair.next_landmark("model") == ""
    assert pair.coverage("model")[0] == 1.0
    assert pair.coverage("model")[1:].max() == 0.0
    pair.remove_landmark("model", "neck")
    assert pair.next_landmark("model") == "neck"
    assert pair.coverage("model")[0] == pytest.approx(0.95)


def test_coverage_counts_all_body_landmarks(session):
    session.add_delivery(delivery_of("Bo 1", tracks=figure_tracks([3, 5]), n_frames=8))
    np.testing.assert_array_equal(session.coverage("athlete"), [0, 0, 0, 1, 0, 1, 0, 0])


def test_a_drag_is_one_step(pair):
    pair.place_landmark("athlete", "neck", 10, 10)
    pair.begin_gesture()
    for x_px in (11, 12, 13):
        pair.place_landmark("athlete", "neck", x_px, 10)
    pair.end_gesture()
    pair.begin_gesture()
    pair.place_landmark("athlete", "neck", 20, 10)
    pair.end_gesture()
    assert pair.undo_stack.count() == 3
    pair.undo()
    assert _position(pair, "athlete", "neck").x_px == 13
    pair.undo()
    assert _position(pair, "athlete", "neck").x_px == 10


def test_nudges_move_the_current_landmark_in_one_step(pair):
    pair.nudge(1, 1)
    assert not pair.undo_stack.canUndo()
    pair.place_landmark("athlete", "neck", 10, 10)
    pair.place_landmark("athlete", "head_top", 10, 5)
    pair.choose_landmark("athlete", "neck")
    assert pair.current_landmark("athlete") == "neck"
    for _ in range(3):
        pair.nudge(0.1, -1)
    assert _position(pair, "athlete", "neck")[:2] == pytest.approx((10.3, 7))
    assert pair.undo_stack.count() == 3
    pair.undo()
    assert _position(pair, "athlete", "neck")[:2] == (10, 10)


def test_positions_stay_within_the_picture(pair):
    pair.place_landmark("athlete", "neck", -40, 9000)
    assert _position(pair, "athlete", "neck")[:2] == (-0.5, 719.5)


def test_hiding_takes_the_position_and_placing_shows_again(pair):
    pair.place_landmark("athlete", "neck", 10, 10)
    pair.set_hidden("athlete", "neck", True)
    assert _position(pair, "athlete", "neck") is None
    assert pair.camera("athlete").is_occluded("neck", 0)
    pair.place_landmark("athlete", "neck", 11, 10)
    assert not pair.camera("athlete").is_occluded("neck", 0)
    pair.undo()
    pair.undo()
    assert _position(pair, "athlete", "neck").x_px == 10


# ------------------------------------------------------------------------- marks, scale, signals


def test_marks_are_set_at_the_shown_frame_and_removed(pair):
    pair.show_frame("athlete", 150)
    pair.mark_event("athlete", "foot_plant")
    assert pair.camera("athlete").marks["foot_plant"].time_s == pytest.approx(150 / 240)
    pair.mark_event("athlete", "foot_plant", 0.65)
    assert pair.camera("athlete").marks["foot_plant"].time_s == 0.65
    pair.remove_mark("athlete", "foot_plant")
    pair.remove_mark("athlete", "foot_plant")
    assert "foot_plant" not in pair.camera("athlete").marks
    assert pair.undo_stack.count() == 3
    with pytest.raises(InputValueError):
        pair.mark_event("athlete", "release", 99.0)
    assert pair.undo_stack.count() == 3


def test_the_scale_is_set_and_taken_back(pair):
    scale = PlanarScale(a=Point(0, 0), b=Point(0, 200), length_m=1.86)
    pair.set_scale("athlete", scale)
    assert pair.camera("athlete").scale == scale
    pair.undo()
    assert pair.camera("athlete").scale == SCALE


def test_an_edit_that_changes_nothing_leaves_no_step(pair):
    pair.set_scale("athlete", SCALE)
    pair.set_unit_system("metric")
    assert pair.undo_stack.count() == 0


def test_results_are_announced_once_for_many_edits(pair, qtbot):
    qtbot.wait(20)
    n_heard = []
    pair.results_updated.connect(lambda: n_heard.append(1))
    touched = []
    pair.changed.connect(touched.append)
    for x_px in range(20):
        pair.place_landmark("athlete", "neck", x_px, 10)
    qtbot.wait(20)
    assert len(n_heard) == 1
    assert touched == [frozenset({"positions"})] * 20


def test_the_title_carries_the_modified_mark(pair):
    heard = []
    pair.title_changed.connect(heard.append)
    assert pair.title == "Untitled[*]"
    pair.set_title("  Spring visit ")
    assert pair.is_modified
    assert heard[-1] == "Spring visit[*]"
    pair.undo()
    assert not pair.is_modified


# ------------------------------------------------------------------------------------ the file


def test_saved_and_opened_again_it_is_the_same(pair, session, tmp_path):
    path = tmp_path / "visit.delivery"
    with pytest.raises(InputValueError):
        pair.save()
    pair.place_landmark("athlete", "neck", 10.125, 10)
    record = pair.record
    pair.save_as(path)
    assert not pair.is_modified
    assert pair.title == "visit[*]"
    session.open_project(path)
    assert session.record == record
    assert session.state("model").delivery == "Kim model"
    session.undo()
    assert session.record == record


def test_a_damaged_file_leaves_the_open_project_alone(pair, tmp_path):
    path = tmp_path / "broken.delivery"
    path.write_text("{", encoding="utf-8")
    record = pair.record
    with pytest.raises(DeliveryLabError):
        pair.open_project(path)
    assert pair.record == record


def test_a_new_project_and_a_recovered_one(pair):
    record = pair.record
    pair.new_project(unit_system="imperial")
    assert pair.delivery("athlete") is None
    assert pair.unit_system == "imperial"
    assert not pair.is_modified
    pair.recover(record, None)
    assert pair.delivery("athlete").name == "Bo 1"
    assert pair.is_modified
