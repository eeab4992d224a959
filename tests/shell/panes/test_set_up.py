from __future__ import annotations

import math

import pytest
from PySide6.QtCore import QPointF

from deliverylab.shell.panes.set_up import SetUpPane
from tests.shell import gestures


@pytest.fixture
def pane(session, qtbot):
    made = SetUpPane(session, stages=(2, 3))
    qtbot.addWidget(made)
    made._settle.setInterval(5)
    made.resize(1050, 720)
    made.show()
    return made


def _settled(pane, qtbot):
    qtbot.waitUntil(lambda: pane._job is None and not pane._settle.isActive(), timeout=20_000)


def test_a_first_look_comes_before_the_figures(pane, qtbot):
    pane.begin()
    said = []
    qtbot.waitUntil(lambda: bool(pane.expectations), timeout=20_000)
    said.append(pane._said.text())
    assert said[0].startswith("A first look, from 2 simulated deliveries")
    _settled(pane, qtbot)
    assert pane._said.text().startswith("3 simulated deliveries: ")
    assert pane.table.n_bars == sum(one.is_shown for one in pane.expectations)
    assert {one.n for one in pane.expectations} == {3}
    assert pane._progress.isHidden()


def test_the_picture_follows_at_once_and_the_last_figures_stay_paler(pane, qtbot):
    pane.begin()
    _settled(pane, qtbot)
    before, n_bars = pane.expectations, pane.table.n_bars
    pane._settle.setInterval(10_000)
    pane.form.yaw.setValue(20)
    assert pane.field.accessibleName().endswith("20° off square")
    assert pane.expectations is before
    assert pane.table.n_bars == n_bars
    assert pane.table._bars[0]._is_stale
    assert pane._settle.isActive()


def test_another_input_stops_what_is_running(pane, qtbot):
    pane.begin()
    qtbot.waitUntil(lambda: pane._job is not None, timeout=5000)
    running = pane._job
    pane.form.lens.setCurrentIndex(1)
    assert running.is_cancelled
    _settled(pane, qtbot)
    assert pane.plan.field_of_view_deg == 65.0
    qtbot.waitUntil(lambda: not running.is_running, timeout=5000)


def test_hidden_it_works_for_nobody(pane, qtbot):
    pane.begin()
    qtbot.waitUntil(lambda: pane._job is not None, timeout=5000)
    running = pane._job
    pane.hide()
    assert running.is_cancelled
    qtbot.waitUntil(lambda: not running.is_running, timeout=5000)


def test_the_camera_is_put_down_elsewhere(pane, qtbot):
    pane._settle.setInterval(10_000)
    pane.begin()
    qtbot.wait(20)
    field = pane.field
    camera = field.to_widget(*pane._scene.camera_m)
    gestures.drag(field, [camera, camera + QPointF(40.0, 0.0)])
    assert pane.form.yaw.value() != 0
    assert pane.plan.distance_m > 8.0
    there = field.to_field(camera + QPointF(40.0, 0.0))
    assert math.dist(pane._scene.camera_m, there) < 0.4  # sliders have steps


def test_units_are_the_readers(pane, session, qtbot):
    pane._settle.setInterval(10_000)
    pane.begin()
    session.set_unit_system("imperial")
    assert "ft" in pane.form.height_edit.text()


def test_the_table_is_exported_or_says_why_not(pane, qtbot, tmp_path):
    assert not pane._export.isEnabled()
    pane.begin()
    _settled(pane, qtbot)
    assert pane._export.isEnabled()
    path = tmp_path / "plan.csv"
    with qtbot.waitSignal(pane.saved) as blocker:
        pane.save(path)
    assert blocker.args == [str(path)]
    assert path.read_text(encoding="utf-8").count("\n") == 1 + len(pane.expectations)
    pane.save(tmp_path / "nowhere" / "plan.csv")
    assert "cannot be written" in pane._said.text()
