"""Two phones are solved by hand: one click a point, and one for the solve."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.core.model.changes import SetDelivery, replace
from deliverylab.core.model.field import ControlClick
from deliverylab.shell.dialogs.field import FieldPanel
from deliverylab.shell.dialogs.new_delivery import NewDeliveryDialog
from deliverylab.shell.dialogs.scale import ScalePanel
from deliverylab.shell.widgets.look_card import LookCard
from tests.core.workflow.two_phones import left_in_place, solved_two_phones, two_phone_delivery
from tests.shell.conftest import MARKS_A, SCALE, delivery_of
from tests.shell.gestures import CTRL, SHIFT, click, drag, tap

RUBBER = ("rubber_front_left", "rubber_front_right", "rubber_back_left", "rubber_back_right")
POINTS = (*RUBBER, "cone_left", "cone_right")


def unclicked(delivery):
    """Return a delivery before anybody has clicked the field."""
    cameras = tuple(replace(camera, control={}) for camera in delivery.cameras)
    return replace(delivery, field=None, space=None, cameras=cameras)


@pytest.fixture
def filmed():
    return two_phone_delivery(1).delivery


@pytest.fixture
def show(window, session):
    def put(*deliveries):
        for delivery in deliveries:
            session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
        session.select("athlete", deliveries[0].name)
        session.undo_stack.clear()
        return window

    return put


def canvas_of(window):
    return window.stages["athlete"].canvas


def place(window, filmed, key):
    """Click where a point is in the picture shown; return the place, frame px."""
    shown = window.session.camera("athlete").name
    at = filmed.camera(shown).control[key]
    canvas = canvas_of(window)
    click(canvas, canvas.view.to_widget(at.x_px, at.y_px))
    return at


def solve(window, qtbot, name):
    session = window.session
    qtbot.mouseClick(window.tool.solve_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: session.project.delivery(name).space is not None, timeout=60_000)
    qtbot.waitUntil(lambda: not window.tool.working.is_busy)


def test_twelve_clicks_and_one_solve_two_phones(show, session, filmed, qtbot):
    window = show(unclicked(filmed))
    tap(canvas_of(window), Qt.Key.Key_F, CTRL)
    panel = window.tool
    assert isinstance(panel, FieldPanel)
    assert not panel.solve_button.isEnabled()
    n_clicks = 0
    for camera in filmed.cameras:
        assert session.camera("athlete").name == camera.name
        for key in POINTS:
            assert panel.asked == key
            place(window, filmed, key)
            n_clicks += 1
    assert "6 of 6" in panel.clicks.cameras["rear"].text()
    assert panel.solve_button.hasFocus()
    solve(window, qtbot, filmed.name)
    n_clicks += 1
    assert n_clicks == 13
    for camera in filmed.cameras:
        clicked = session.project.camera(filmed.name, camera.name).control
        gaps = [
            np.hypot(clicked[key].x_px - at.x_px, clicked[key].y_px - at.y_px)
            for key, at in camera.control.items()
        ]
        # a click meets the nearest quarter of a screen pixel or better
        assert max(gaps) < 1.0
    space = session.delivery("athlete").space
    assert space.trust == "good"
    assert "Good: directions unsure by" in panel.answer.text
    assert [row.state for row in panel.rows.values()] == ["done"] * 6
    assert sum("◆ fits least" in row.detail for row in panel.rows.values()) <= 1
    marks = canvas_of(window).scene.field_marks
    assert len(marks) == 6
    assert all(mark.projected_px is not None for mark in marks)
    # the scales follow; one step takes all of it back
    assert session.camera("athlete").scale.is_solved
    session.undo()
    assert session.delivery("athlete").space is None
    assert session.camera("athlete").scale is None
    assert session.undo_stack.count() == 13


def test_the_rubber_is_shown_large_and_the_whole_picture_for_the_cones(show, filmed):
    window = show(unclicked(filmed))
    window.show_field()
    canvas = canvas_of(window)
    whole = canvas.view.zoom
    place(window, filmed, RUBBER[0])
    assert canvas.view.zoom > 2.0 * whole
    first = window.session.camera("athlete").control[RUBBER[0]]
    for key in RUBBER[1:]:
        place(window, filmed, key)
    assert canvas.view.zoom == pytest.approx(whole)
    # a click in a small picture is less sure than one in a large one
    last = window.session.camera("athlete").control[RUBBER[3]]
    assert first.u_px > last.u_px == 1.0


def test_a_point_is_dragged_while_another_is_asked_for(show, session, filmed):
    window = show(unclicked(filmed))
    window.show_field()
    place(window, filmed, RUBBER[0])
    canvas = canvas_of(window)
    at = session.camera("athlete").control[RUBBER[0]]
    start = canvas.view.to_widget(at.x_px, at.y_px)
    drag(canvas, [start, start + QPointF(9.0, 0.0), start + QPointF(21.0, 10.0)])
    moved = session.camera("athlete").control[RUBBER[0]]
    assert moved.x_px == pytest.approx(at.x_px + 21.0 / canvas.view.zoom)
    assert moved.y_px == pytest.approx(at.y_px + 10.0 / canvas.view.zoom)
    assert window.tool.asked == RUBBER[1]
    # an arrow key moves it by a pixel of the picture, with Shift by ten
    tap(canvas, Qt.Key.Key_Right)
    tap(canvas, Qt.Key.Key_Down, SHIFT)
    nudged = session.camera("athlete").control[RUBBER[0]]
    assert (nudged.x_px, nudged.y_px) == pytest.approx((moved.x_px + 1.0, moved.y_px + 10.0))
    session.undo()
    assert session.camera("athlete").control[RUBBER[0]] == at
    session.undo()
    assert session.camera("athlete").control == {}
    assert window.tool.asked == RUBBER[0]


def test_a_click_close_to_another_point_places_the_one_asked_for(show, session, filmed):
    window = show(unclicked(filmed))
    window.show_field()
    place(window, filmed, RUBBER[0])
    canvas = canvas_of(window)
    at = session.camera("athlete").control[RUBBER[0]]
    click(canvas, canvas.view.to_widget(at.x_px, at.y_px) + QPointF(5.0, 2.0))
    control = session.camera("athlete").control
    assert control[RUBBER[0]] == at
    assert control[RUBBER[1]].x_px == pytest.approx(at.x_px + 5.0 / canvas.view.zoom)


def test_keys_leave_out_take_back_and_stop(show, session, filmed):
    window = show(unclicked(filmed))
    window.show_field()
    panel, canvas = window.tool, canvas_of(window)
    place(window, filmed, RUBBER[0])
    tap(canvas, Qt.Key.Key_S)
    assert panel.asked == RUBBER[2]
    assert panel.rows[RUBBER[1]].detail == "left out"
    tap(canvas, Qt.Key.Key_Backspace)
    assert panel.asked == RUBBER[1]
    tap(canvas, Qt.Key.Key_Backspace)
    assert panel.asked == RUBBER[0]
    assert session.camera("athlete").control == {}
    place(window, filmed, RUBBER[0])
    tap(canvas, Qt.Key.Key_Escape)
    assert panel.asked == ""
    assert not canvas.is_picking
    click(canvas, QPointF(200.0, 150.0))
    assert list(session.camera("athlete").control) == [RUBBER[0]]
    # a row asks for its point again, by key as well
    tap(panel.rows["cone_left"], Qt.Key.Key_Return)
    assert panel.asked == "cone_left"
    assert "5" in canvas.scene.request.name
    place(window, filmed, "cone_left")
    assert set(session.camera("athlete").control) == {RUBBER[0], "cone_left"}
    # the clip is scrubbed meanwhile: the field stands still
    session.show_frame("athlete", 30)
    assert canvas.is_picking
    place(window, filmed, panel.asked)
    assert len(session.camera("athlete").control) == 3


def test_a_point_left_out_in_every_picture_hinders_nothing(show, session, filmed, qtbot):
    window = show(unclicked(filmed))
    window.show_field()
    for _ in filmed.cameras:
        for key in POINTS:
            if key == RUBBER[3]:
                qtbot.mouseClick(window.tool.clicks.skip, Qt.MouseButton.LeftButton)
            else:
                place(window, filmed, key)
    assert window.tool.asked == ""
    assert window.tool.solve_button.isEnabled()
    assert "5 of 6" in window.tool.clicks.cameras["open-side"].text()


def test_the_body_and_the_other_stage_make_room_and_come_back(show, session, filmed):
    window = show(unclicked(filmed), delivery_of("Kim 1", marks=MARKS_A, scale=SCALE))
    session.select("model", "Kim 1")
    session.activate("athlete")
    session.go_to_event("foot_contact")
    canvas = canvas_of(window)
    assert canvas.scene.points
    window.show_field()
    assert not canvas.scene.points
    assert window.stages["model"].isHidden()
    window.tool.done.click()
    assert window.tool is None
    assert canvas.scene.points
    assert not canvas.has_handles
    assert not canvas.scene.field_marks
    assert not window.stages["model"].isHidden()


def test_what_changed_since_is_said_and_a_moved_click_leaves_nothing(show, session, qtbot):
    window = show(solved_two_phones().delivery)
    window.show_field()
    panel = window.tool
    assert "Good" in panel.answer.text
    at = session.camera("athlete").control["cone_left"]
    session.click_field("athlete", "cone_left", at.x_px + 3.0, at.y_px)
    assert "Solve again" in panel.answer.text
    moved = {mark.tag: mark for mark in canvas_of(window).scene.field_marks}["5"]
    assert moved.projected_px is None
    window.checklist.refresh()
    assert "out of date" in window.checklist.steps["cameras"].detail
    assert window.checklist.next_step in {"landmarks", "cameras"}
    session.undo()
    assert "Solve again" not in panel.answer.text


def test_swapped_cones_are_named_and_refused(show, session, qtbot):
    filmed = two_phone_delivery(1).delivery
    side = filmed.cameras[0]
    control = dict(side.control)
    control["cone_left"], control["cone_right"] = control["cone_right"], control["cone_left"]
    cameras = (replace(side, control=control), *filmed.cameras[1:])
    window = show(replace(filmed, cameras=cameras))
    window.show_field()
    solve(window, qtbot, filmed.name)
    assert window.tool.answer.text.startswith("Refused")
    assert any("cone" in card.text for card in window.tool.answer.cards)
    window.checklist.refresh()
    assert "refused" in window.checklist.steps["cameras"].detail
    # what needs a look leads back here
    window.close_tool()
    card = next(
        one for one in window.checklist.findChildren(LookCard) if "cone" in one.accessibleName()
    )
    click(card, QPointF(12.0, 12.0))
    assert isinstance(window.tool, FieldPanel)


def test_a_solve_of_cameras_that_are_gone_meanwhile_is_dropped(show, session, filmed, qtbot):
    window = show(filmed)
    window.show_field()
    outcome = session.solve_work("athlete")(lambda _share: None)
    session.remove_camera(filmed.name, "rear")
    window.tool._on_solved(outcome)
    assert window.tool.problem.text()
    assert session.delivery("athlete").space is None


def test_what_a_solve_lacks_is_said_in_the_panel(show, session, filmed, qtbot):
    cameras = tuple(replace(camera, marks={}, tracks={}) for camera in filmed.cameras)
    window = show(replace(filmed, cameras=cameras))
    window.solve_field()
    qtbot.waitUntil(lambda: bool(window.tool.problem.text()), timeout=20_000)
    assert "mark the same event" in window.tool.problem.text().lower()
    assert window.tool.solve_button.isEnabled()
    assert window.tool.solve_button.text() == "Solve the cameras"


def test_cameras_left_in_place_need_no_clicks(show, session, qtbot):
    first = two_phone_delivery(1)
    second = two_phone_delivery(2, name="Ana 2", cameras=first.cameras)
    own = unclicked(second.delivery)
    window = show(own, first.delivery)
    window.show_field()
    panel = window.tool
    assert panel.source.count() == 2
    panel.source.setCurrentIndex(1)
    panel.source.activated.emit(1)
    assert session.delivery("athlete").cameras_from == "Ana 1"
    assert panel.clicks.isHidden()
    assert not canvas_of(window).is_picking
    solve(window, qtbot, "Ana 2")
    assert session.delivery("athlete").space.deliveries == ("Ana 1", "Ana 2")
    assert session.project.delivery("Ana 1").space is not None
    session.undo()
    session.undo()
    assert session.delivery("athlete") == own
    assert panel.source.currentIndex() == 0
    assert panel.asked == RUBBER[0]
    assert left_in_place(second, "Ana 1").cameras_from == "Ana 1"


def test_one_clip_asks_for_the_second_phones(show, session, filmed, monkeypatch, qtbot):
    window = show(replace(unclicked(filmed), cameras=unclicked(filmed).cameras[:1]))
    window.show_field()
    asked = []
    monkeypatch.setattr(window.files, "ask_clip", lambda: asked.append(1))
    assert "Two phones" in window.tool.second.text
    qtbot.mouseClick(window.tool.second.button, Qt.MouseButton.LeftButton)
    assert asked == [1]
    assert "cameras" not in {
        key for key, row in window.checklist.steps.items() if not row.isHidden()
    }


def test_one_phone_is_solved_alone_and_its_scale_follows(show, session, filmed, qtbot):
    rear = two_phone_delivery(1).delivery.cameras[1]
    window = show(replace(filmed, cameras=(rear,)))
    window.show_field()
    panel = window.tool
    assert panel.solve_button.text() == "Solve this phone alone"
    qtbot.mouseClick(panel.solve_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: session.camera("athlete").scale is not None, timeout=20_000)
    assert session.camera("athlete").scale.is_solved
    qtbot.waitUntil(lambda: "m away" in panel.answer.text)
    qtbot.wait(50)  # what follows the change does not take the answer away
    assert "off square" in panel.answer.text
    session.undo()
    assert session.camera("athlete").scale is None


def test_the_second_clip_is_added_with_one_choice_and_seen_from_behind(
    show, session, filmed, monkeypatch, clip, qtbot
):
    window = show(replace(unclicked(filmed), cameras=unclicked(filmed).cameras[:1]))
    window.show_field()
    monkeypatch.setattr(window.files, "ask_clip", lambda: clip)
    qtbot.mouseClick(window.tool.second.button, Qt.MouseButton.LeftButton)
    dialog = window.findChild(NewDeliveryDialog)
    qtbot.waitUntil(dialog._add.isEnabled, timeout=20_000)
    tap(dialog, Qt.Key.Key_Return)
    assert [camera.view for camera in session.delivery("athlete").cameras] == ["open-side", "rear"]
    assert isinstance(window.tool, FieldPanel)
    assert window.tool.second.isHidden()
    assert len(window.tool.clicks.cameras) == 2
    assert window.tool.asked == RUBBER[0]


def test_the_step_leads_to_the_field(show, session, filmed):
    window = show(unclicked(filmed))
    window.checklist.refresh()
    row = window.checklist.steps["cameras"]
    assert row.detail == "click the field: open-side 0 of 6, rear 0 of 6"
    # without any scale, the field is what gives one
    window.do_step("scale")
    assert isinstance(window.tool, FieldPanel)
    window.close_tool()
    window.do_step("cameras")
    assert isinstance(window.tool, FieldPanel)
    session.click_field("athlete", RUBBER[0], 900.0, 800.0)
    window.checklist.refresh()
    assert row.detail == "click the field: open-side 1 of 6, rear 0 of 6"
    window.set_scale("athlete")
    assert isinstance(window.scale_panel, ScalePanel)
    assert window.tool is None


def test_a_click_outside_the_picture_is_kept_on_its_edge(show, session, filmed):
    show(unclicked(filmed))
    session.click_field("athlete", RUBBER[0], -40.0, 1e5, zoom=0.25)
    camera = session.camera("athlete")
    edge = ControlClick(x_px=-0.5, y_px=camera.height_px - 0.5, u_px=2.0)
    assert camera.control[RUBBER[0]] == edge
    session.take_click_away("athlete", RUBBER[1])
    assert session.undo_stack.count() == 1


def test_facts_of_the_phone_and_points_of_the_field_are_edited_and_undone(show, session, filmed):
    window = show(unclicked(filmed))
    window.show_field()
    panel = window.tool
    panel.phone.zoom.setValue(2.0)
    panel.phone.zoom.editingFinished.emit()
    assert session.camera("athlete").stand.zoom == 2.0
    panel.form.laid.setCurrentIndex(panel.form.laid.findData("pole-tops"))
    panel.form.laid.activated.emit(0)
    assert len(panel.rows) == 8
    assert "0 of 8" in panel.clicks.cameras["rear"].text()
    session.undo()
    assert len(panel.rows) == 6
    session.undo()
    assert session.camera("athlete").stand == filmed.cameras[0].stand


def test_the_panel_goes_with_its_delivery(show, session, filmed):
    window = show(unclicked(filmed), delivery_of("Kim 1"))
    window.show_field()
    session.select("athlete", filmed.name, "rear")
    assert isinstance(window.tool, FieldPanel)
    session.select("athlete", "Kim 1")
    assert window.tool is None


def test_the_field_from_above_fills_the_window_and_leads_back(show, session, qtbot):
    window = show(solved_two_phones().delivery)
    window.show_field()
    qtbot.mouseClick(window.tool.above, Qt.MouseButton.LeftButton)
    assert window.centre.currentWidget() is window.cameras
    assert window.right.isHidden()
    qtbot.waitUntil(lambda: window.cameras.plan.width() > 400)  # once the columns have settled
    qtbot.mouseClick(window.cameras.field, Qt.MouseButton.LeftButton)
    assert window.cameras is None
    assert not window.right.isHidden()
    assert isinstance(window.tool, FieldPanel)
    window.show_cameras()
    window.cameras.closed.emit()
    assert window.stages["athlete"].isVisible()


def test_the_set_up_sheet_is_there_before_any_delivery(window):
    window.actions_by_key["field_sheet"].trigger()
    page = window.centre.currentWidget()
    assert page.sheet.pdf.startswith(b"%PDF")
    page.closed.emit()
    assert window.centre.currentWidget() is window.welcome
