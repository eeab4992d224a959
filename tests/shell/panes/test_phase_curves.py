from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt

from deliverylab.core.model.changes import SetDelivery
from deliverylab.shell.panes.phase_curves import PhaseCurvesPane
from tests.shell.conftest import MARKS_A, MARKS_B, SCALE, delivery_of, figure_tracks
from tests.shell.gestures import click, tap


@pytest.fixture
def curves(session, qtbot):
    for name, marks in (("Bo 1", MARKS_A), ("Kim", MARKS_B)):
        tracks = figure_tracks(list(range(240)))
        delivery = delivery_of(name, marks=marks, scale=SCALE, tracks=tracks)
        session.project.apply(SetDelivery(name=name, delivery=delivery))
    session.set_pair("Bo 1", "Kim")
    made = PhaseCurvesPane(session)
    qtbot.addWidget(made)
    made.resize(900, 420)
    made.show()
    return made


def test_a_click_shows_the_frames_of_that_phase_on_both_stages(curves, session):
    layout = curves.bar.layout_now()
    click(curves.bar, QPointF(layout.x_of(100.0), layout.curve_rect.center().y()))
    assert session.state("athlete").frame == 144
    assert session.state("model").frame == 144
    assert session.phase("model") == pytest.approx(100.0, abs=0.5)
    tap(curves.bar, Qt.Key.Key_Right)
    assert session.state("athlete").frame == 145


def test_another_reading_is_drawn_and_an_edit_followed(curves, session, qtbot):
    curves.choose("lead_knee_flexion")
    qtbot.waitUntil(lambda: curves.bar.scene.curve_name == "Lead knee flexion")
    before = curves.bar.scene.curves[0].values[144]
    session.show_frame("athlete", 144)
    session.place_landmark("athlete", "left_knee", 740.0, 520.0)
    qtbot.waitUntil(lambda: curves.bar.scene.curves[0].values[144] != before)


def test_hidden_it_does_nothing_and_catches_up_when_shown(curves, session, qtbot):
    curves.refresh()  # nothing is due any more
    curves.hide()
    scene = curves.bar.scene
    session.show_frame("athlete", 30)
    session.remove_mark("model", "foot_contact")
    qtbot.wait(100)
    assert curves.bar.scene is scene
    curves.show()
    assert "foot_contact" not in curves.bar.scene.rows[1].marks


def test_ends_and_marks_cannot_be_dragged_here(curves):
    layout = curves.bar.layout_now()
    row = layout.row_rect(0)
    assert curves.bar._trim_end_at(QPointF(row.left() - 4.0, row.center().y())) == ""
    assert not curves.bar.scene.rows[0].has_movable_marks
