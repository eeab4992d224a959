from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

from deliverylab.core.model.changes import replace
from deliverylab.core.model.delivery import ClipReference
from deliverylab.core.model.timing import TimeDoubt, TimeRepair
from deliverylab.shell.panes.checklist import ChecklistPane
from deliverylab.shell.widgets.look_card import LookCard
from tests.shell.conftest import MARKS_A, SCALE, camera_of, delivery_of, figure_tracks

GONE = ClipReference(path="gone.mp4", size_bytes=9, head_sha256="0" * 64, tail_sha256="0" * 64)


@pytest.fixture
def pane(session, qtbot):
    made = ChecklistPane(session)
    qtbot.addWidget(made)
    made.show()
    return made


def test_it_begins_with_the_clip_and_follows_the_work(pane, session, qtbot):
    assert pane.next_step == "clip"
    session.add_delivery(delivery_of("Bo 1"))
    qtbot.waitUntil(lambda: pane.next_step == "scale")
    assert pane.steps["clip"].state == "done"
    assert [key for key, row in pane.steps.items() if row.state == "next"] == ["scale"]


def test_a_step_can_be_pressed(pane, qtbot):
    with qtbot.waitSignal(pane.step_chosen) as blocker:
        qtbot.mouseClick(pane.steps["events"], Qt.MouseButton.LeftButton)
    assert blocker.args == ["events"]


def test_missing_landmarks_need_a_look_and_lead_to_their_event(pane, session):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A))
    pane.refresh()
    looks = [look for look in pane.looks if look.event]
    assert [look.event for look in looks] == ["leg_lift", "foot_contact", "release"]
    assert looks[0].detail == "16 landmarks to place that results need"
    pane._on_look_pressed(looks[1])
    assert session.state("athlete").frame == 144


def test_suspected_slow_motion_is_corrected_by_one_press(pane, session):
    marks = {"leg_lift": 0.1, "foot_contact": 0.2, "release": 0.2 + 8 * 0.1}
    session.add_delivery(delivery_of("Bo 1", marks=marks))
    pane.refresh()
    look = next(look for look in pane.looks if look.offer)
    assert look.level == "caution"
    pane._on_offer_accepted(look)
    pane.refresh()
    rate_hz = session.camera("athlete").timing.capture_rate_hz
    assert rate_hz == look.offer.capture_rate_hz
    assert not any(look.offer for look in pane.looks)


def test_a_repair_and_a_doubt_are_said_once_each_with_their_button(pane, session, qtbot):
    doubt = TimeDoubt(kind="ramp", frames=((3, 9),), reason="it slows down", remedy="film anew")
    repair = TimeRepair(times_s=tuple(k / 240 for k in range(240)), note="two pictures repeat")
    camera = camera_of(duplicate_frames=(3, 4))
    timing = replace(camera.timing, repair=repair, doubts=(doubt,))
    session.add_delivery(delivery_of("Bo 1", cameras=(replace(camera, timing=timing),)))
    pane.refresh()
    buttons = {look.offer.button: look for look in pane.looks if look.offer}
    assert set(buttons) == {"Measure as stored", "Trust the clip"}
    assert buttons["Trust the clip"].level == "caution"
    assert "It slows down. Film anew." in buttons["Trust the clip"].detail
    assert sum("slows down" in look.detail for look in pane.looks) == 1
    assert sum("repeat" in look.what + look.detail for look in pane.looks) == 1
    card = next(one for one in pane.findChildren(LookCard) if "withheld" in one.accessibleName())
    with qtbot.waitSignal(pane.offer_accepted):
        qtbot.mouseClick(card.findChild(QPushButton), Qt.MouseButton.LeftButton)
    assert session.camera("athlete").timing.doubts == ()
    session.undo()
    assert session.camera("athlete").timing.doubts == (doubt,)


def test_a_lost_clip_and_repeated_frames_are_told(pane, session, qtbot):
    camera = camera_of(clip=GONE, duplicate_frames=(3, 4))
    session.add_delivery(delivery_of("Bo 1", cameras=(camera,)))
    pane.refresh()
    assert pane.looks[0].is_lost_clip
    assert any("2 repeated frames" in look.what for look in pane.looks)
    with qtbot.waitSignal(pane.relink_wanted):
        pane._on_look_pressed(pane.looks[0])


def test_the_health_check_of_the_shown_deliveries_is_told_once(pane, session):
    unknown = replace(delivery_of("Bo 1").athlete, height_m=None)
    session.add_delivery(replace(delivery_of("Bo 1"), athlete=unknown))
    pane.refresh()
    told = [look for look in pane.looks if "height is not known" in look.detail]
    assert len(told) == 1
    assert not any("no scale" in look.detail for look in pane.looks)  # the checklist says it
    session.set_athlete("Bo 1", replace(unknown, height_m=1.8))
    pane.refresh()
    assert not any("height is not known" in look.detail for look in pane.looks)


def test_a_result_that_nobody_reaches_needs_a_look_and_leads_to_its_event(pane, session):
    tracks = figure_tracks([24, 144, 180])  # the figure stands still, so there is no stride
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A, scale=SCALE, tracks=tracks))
    pane.refresh()
    (look,) = (one for one in pane.looks if one.detail.startswith("Hardly believable"))
    assert look.what == "Bo 1: Stride"
    assert look.level == "caution"
    session.go_to_event("leg_lift")
    pane._on_look_pressed(look)
    assert session.event_at_frame("athlete") == "foot_contact"
