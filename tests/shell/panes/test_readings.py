from __future__ import annotations

import msgspec
import pytest
from PySide6.QtWidgets import QLabel, QPushButton

from deliverylab.core.model.changes import replace
from deliverylab.core.vocabulary.landmarks import key_for_role
from deliverylab.shell.panes.readings import NotShown, ReadingsPane
from deliverylab.shell.remedy_acts import act_for
from deliverylab.shell.value_text import of_result
from tests.shell.test_value_text import result_of
from tests.shell.thrown import thrown


@pytest.fixture
def pane(placed_pair, qtbot):
    made = ReadingsPane(placed_pair)
    qtbot.addWidget(made)
    made.resize(320, 700)
    made.show()
    return made


def _texts(widget):
    return [one.text() for one in widget.findChildren(QLabel) if not one.isHidden()]


def test_all_that_is_shown_stands_there_and_all_else_says_why(pane, placed_pair):
    results = placed_pair.results("athlete")
    shown = {(one.metric, one.event) for one in results if one.is_shown}
    absent = [one for one in results if not one.is_shown]
    assert set(pane.rows) == shown
    assert shown
    assert absent
    texts = " ".join(_texts(pane))
    assert "Not shown" in texts
    for one in absent:
        assert one.name[1:] in texts
        assert one.reason[1:] in texts
        assert one.remedy in texts


def test_numbers_follow_a_moved_point_without_new_rows(pane, placed_pair, qtbot):
    placed_pair.go_to_event("foot_contact")
    key = ("lead_knee_flexion", "foot_contact")
    row = pane.rows[key]
    before = row._face.number
    at = placed_pair.camera("athlete").track("left_knee").at(144)
    with qtbot.waitSignal(placed_pair.results_updated):
        placed_pair.place_landmark("athlete", "left_knee", at.x_px + 30, at.y_px)
    assert pane.rows[key] is row
    assert row._face.number != before
    result = next(one for one in placed_pair.results("athlete") if (one.metric, one.event) == key)
    assert row._face.number == of_result(result, "metric")[0]


def test_the_partner_is_named_and_its_differences_stand_beside(pane, placed_pair, qtbot):
    assert "difference to Kim model" in _texts(pane)
    assert any(row._face.shape for row in pane.rows.values())
    placed_pair.activate("model")
    assert "Kim model" in _texts(pane)
    assert not any(row._face.shape for row in pane.rows.values())


def test_a_reading_leads_to_its_instant(pane, placed_pair):
    pane.rows["trunk_forward_tilt", "release"].instant_wanted.emit("release")
    assert placed_pair.event_at_frame("athlete") == "release"


def test_units_are_the_readers(pane, placed_pair, qtbot):
    with qtbot.waitSignal(placed_pair.results_updated):
        placed_pair.set_unit_system("imperial")
    lengths = [one for one in placed_pair.results("athlete") if one.unit == "m" and one.is_shown]
    assert lengths
    for one in lengths:
        assert pane.rows[one.metric, one.event]._face.margin.endswith(" in")


def test_unfolded_readings_stay_so_when_others_come_and_go(pane, placed_pair, qtbot):
    pane.rows["trunk_forward_tilt", "release"].toggle()
    with qtbot.waitSignal(placed_pair.results_updated):
        placed_pair.remove_mark("athlete", "leg_lift")
    assert pane.rows["trunk_forward_tilt", "release"].is_open


def test_a_hidden_pane_catches_up_when_seen(pane, placed_pair, qtbot):
    pane.hide()
    with qtbot.waitSignal(placed_pair.results_updated):
        placed_pair.new_project()
    pane.show()
    assert pane.rows == {}
    assert any("once a delivery is added" in text for text in _texts(pane))


def test_the_readings_of_a_shown_event_come_into_sight(pane, placed_pair, qtbot):
    pane.resize(320, 260)
    qtbot.wait(20)
    placed_pair.go_to_event("release")
    row = pane.rows["trunk_forward_tilt", "release"]
    assert 0 <= row.mapTo(pane, row.rect().topLeft()).y() < 260
    placed_pair.go_to_event("leg_lift")
    assert pane._area.verticalScrollBar().value() == pane._groups["leg lift"].y()


def test_what_can_be_done_with_this_clip_stands_before_what_needs_another(pane, placed_pair, qtbot):
    with qtbot.waitSignal(placed_pair.results_updated):
        placed_pair.remove_mark("athlete", "leg_lift")
    remedies = [text[2:] for text in _texts(pane) if text.startswith("→ ")]
    kinds = ["camera" if "second phone" in one else one.partition(" ")[0] for one in remedies]
    assert {"mark", "enter", "film", "camera"} <= set(kinds)
    first_filmed = kinds.index("film")
    assert not {"film", "camera"} & set(kinds[:first_filmed])
    assert set(kinds[first_filmed:]) == {"film", "camera"}
    assert kinds[kinds.index("camera") :] == ["camera"] * kinds.count("camera")


def test_what_waits_for_a_solve_leads_to_the_field(qtbot):
    not_shown = NotShown()
    qtbot.addWidget(not_shown)
    waiting = msgspec.structs.replace(
        result_of(None, None), reason="the cameras are not solved yet", remedy="solve the cameras"
    )
    not_shown.show_absent([waiting])
    link = next(one for one in not_shown.findChildren(QPushButton) if "field" in one.text())
    assert not link.isHidden()
    with qtbot.waitSignal(not_shown.field_wanted):
        link.click()
    not_shown.show_absent([msgspec.structs.replace(waiting, remedy="mark release")])
    assert link.isHidden()


def _act_of(pane, *places):
    """Unfold the first row whose largest part is dealt with in one of these places."""
    for row in pane.rows.values():
        act = act_for(row.result.budget[0], row.result) if row.result.budget else None
        if act is not None and act.place in places:
            row.toggle()
            return row, act
    raise AssertionError(places)


def test_a_remedy_leads_to_its_landmark_ready_to_be_moved(pane, placed_pair, qtbot):
    row, act = _act_of(pane, "landmark")
    with qtbot.waitSignal(pane.stage_wanted):
        row._detail.after.linkActivated.emit("act")
    assert placed_pair.event_at_frame("athlete") == act.event
    key = key_for_role(act.role, "right")
    assert placed_pair.current_landmark("athlete") == key


def test_what_is_done_elsewhere_asks_the_window(pane, qtbot):
    row, act = _act_of(pane, "scale", "facts", "plan")
    with qtbot.waitSignal(pane.action_wanted) as blocker:
        row._detail.after.linkActivated.emit("act")
    assert blocker.args == ["athlete", act.place]
    with qtbot.waitSignal(pane.action_wanted) as blocker:
        pane._not_shown._plan.click()
    assert blocker.args == ["athlete", "plan"]


def test_a_reading_is_checked_by_simulation(pane, placed_pair, qtbot):
    row = pane.rows["lead_knee_flexion", "foot_contact"]
    row.toggle()
    row._detail.after.linkActivated.emit("check")
    qtbot.waitUntil(lambda: "simulated" in row._detail.check.text(), timeout=5000)


def test_the_surest_ways_follow_the_active_delivery(pane, placed_pair, qtbot):
    pane.resize(320, 3000)
    qtbot.waitUntil(lambda: len(pane.surer.ways) == 3, timeout=5000)
    placed_pair.new_project()
    qtbot.waitUntil(pane.surer.isHidden)


def test_a_ball_that_is_not_placed_can_be_looked_for_from_here(pane, qtbot):
    link = next(
        one for one in pane.findChildren(QPushButton) if one.text().startswith("Find the ball")
    )
    assert not link.isHidden()
    with qtbot.waitSignal(pane.action_wanted) as wanted:
        link.click()
    assert wanted.args == ["athlete", "find_ball"]


def test_the_speed_of_the_ball_says_whether_it_agrees_with_the_radar(session, qtbot):
    pane = ReadingsPane(session)
    qtbot.addWidget(pane)
    session.add_delivery(thrown(240.0))
    pane.refresh()
    row = next(row for (metric, _), row in pane.rows.items() if metric == "ball_speed_measured")
    assert row._note.text() == "Clip and radar agree within their ±."
    assert row._note.property("role") == "good"
    session.set_delivery("Ana 1", replace(session.delivery("athlete"), ball_speed_m_s=20.0))
    pane.refresh()
    assert "do not agree" in row._note.text()
    assert row._note.property("role") == "caution"
