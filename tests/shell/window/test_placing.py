"""Placing again with the mouse, what it says, and taking it up as one's own ±."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel

from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store import personal
from deliverylab.shell.dialogs.placing_again import PlacingAgainPanel
from deliverylab.shell.panes.precision import PrecisionPane
from deliverylab.shell.panes.scatter import ScatterPane
from tests.shell.conftest import MARKS_A, SCALE, delivery_of, figure_tracks
from tests.shell.gestures import click, double_click

FRAMES = list(range(134, 184))


@pytest.fixture(autouse=True)
def own_folder(monkeypatch, tmp_path):
    monkeypatch.setattr(personal, "personal_file", lambda: tmp_path / "placing.json")


@pytest.fixture
def placed(window, session, qtbot):
    """A window with a delivery in which fifty frames are placed."""
    delivery = delivery_of("Bo 1", marks=MARKS_A, scale=SCALE, tracks=figure_tracks(FRAMES))
    session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
    session.select("athlete", delivery.name)
    window.show()
    qtbot.waitExposed(window)
    return window


def begin(window, *, part="Legs and hips", placer="Ida"):
    window.place_again()
    panel = window.tool
    assert isinstance(panel, PlacingAgainPanel)
    panel.placer.setText(placer)
    panel.parts.setCurrentText(part)
    panel.begin.click()
    return panel


def place(window, panel, *, off=(0.0, 0.0)):
    """Click where the landmark was placed before, so far beside it; return what was asked."""
    session = window.session
    target = session.asked_again(panel.side, panel.run_name)
    before = session.camera(panel.side).track(target.landmark).at(target.frame)
    canvas = window.stages[panel.side].canvas
    canvas.is_exact = True
    click(canvas, canvas.view.to_widget(before.x_px + off[0], before.y_px + off[1]))
    return target


def test_one_click_a_point_and_no_place_is_shown_before(placed):
    session, canvas = placed.session, placed.stages["athlete"].canvas
    panel = begin(placed)
    assert placed.settings.get("placer") == "Ida"
    for number in range(12):
        target = session.asked_again("athlete", panel.run_name)
        assert session.state("athlete").frame == target.frame
        assert not canvas.scene.points
        assert not canvas.scene.annotations
        place(placed, panel)
        assert len(session.placing_run("athlete", panel.run_name).placed) == number + 1
    panel.back.click()
    panel.skip.click()
    run = session.placing_run("athlete", panel.run_name)
    assert (len(run.placed), len(run.placed) + len(run.waiting)) == (11, 59)
    session.undo()
    assert len(session.placing_run("athlete", panel.run_name).waiting) == 49
    assert panel.done.text() == "Stop for now"
    panel.done.click()
    assert not canvas.is_picking
    assert canvas.scene.points, "the landmarks are shown again"


def test_a_run_is_left_by_escape_and_gone_on_with(placed, qtbot):
    panel = begin(placed)
    name = panel.run_name
    place(placed, panel)
    qtbot.keyClick(placed.stages["athlete"].canvas, Qt.Key.Key_Escape)
    assert placed.tool is None
    placed.place_again()
    placed.tool.resume.click()
    assert placed.tool.run_name == name
    place(placed, placed.tool)
    assert len(placed.session.placing_run("athlete", name).placed) == 2


def test_keys_skip_and_take_back_and_touch_no_landmark_that_is_hidden(placed, qtbot):
    session, canvas = placed.session, placed.stages["athlete"].canvas
    placed.stages["athlete"].canvas.setFocus()
    session.choose_landmark("athlete", "left_knee")
    tracks = session.camera("athlete").tracks
    panel = begin(placed)
    first = place(placed, panel)
    second = session.asked_again("athlete", panel.run_name)
    qtbot.keyClick(canvas, Qt.Key.Key_Backspace)
    assert session.asked_again("athlete", panel.run_name) == first
    for key in (Qt.Key.Key_S, Qt.Key.Key_H):
        qtbot.keyClick(canvas, key)
    assert second not in session.placing_run("athlete", panel.run_name).waiting
    panel.setFocus()
    for action in ("skip", "hide", "remove"):
        placed.actions_by_key[action].trigger()
    run = session.placing_run("athlete", panel.run_name)
    assert (len(run.placed), len(run.waiting)) == (0, 56)
    assert session.camera("athlete").tracks == tracks


def test_a_run_is_saved_and_gone_on_with_in_the_opened_file(placed, tmp_path):
    session, path = placed.session, tmp_path / "may.delivery"
    panel = begin(placed)
    name = panel.run_name
    place(placed, panel)
    session.save_as(path)
    place(placed, panel)
    session.open_project(path)
    assert placed.tool is None
    assert not session.hides_places("athlete")
    placed.place_again()
    placed.tool.resume.click()
    place(placed, placed.tool)
    run = session.placing_run("athlete", name)
    assert (len(run.placed), len(run.waiting)) == (2, 58)


def test_a_click_in_another_frame_is_not_taken(placed):
    panel = begin(placed)
    target = placed.session.asked_again("athlete", panel.run_name)
    placed.session.show_frame("athlete", 5)
    canvas = placed.stages["athlete"].canvas
    canvas.is_exact = True
    click(canvas, canvas.view.area.center())
    assert not placed.session.placing_run("athlete", panel.run_name).placed
    assert placed.session.state("athlete").frame == target.frame


def test_who_places_must_be_said(placed):
    panel = begin(placed, placer=" ")
    assert "Say who places" in panel.problem.text()
    assert not placed.session.delivery("athlete").placing_runs


def test_the_figures_become_the_margin_of_placing(placed):
    session = placed.session
    panel = begin(placed)
    random = np.random.default_rng(3)
    while session.asked_again("athlete", panel.run_name) is not None:
        place(placed, panel, off=random.normal(0.0, 1.0, 2))
    assert panel.asked.text == "Done: 60 points placed again."
    before = {r.metric: r.u for r in session.results("athlete") if r.is_shown}
    panel.report.click()
    page = placed.centre.currentWidget()
    assert isinstance(page, PrecisionPane)
    assert page.sheet.pdf.startswith(b"%PDF")
    assert page.chooser.currentText() == "Ida"
    page.use.click()
    assert session.precision_in_use().placer == "Ida"
    after = {r.metric: r.u for r in session.results("athlete") if r.is_shown}
    assert after["lead_knee_flexion"] != before["lead_knee_flexion"]
    assert personal.remembered()["Ida"].u_m.keys() == {"hip", "knee", "ankle", "heel", "toe"}
    page.judged.click()
    assert session.precision_in_use() is None
    session.undo()
    assert session.precision_in_use().placer == "Ida"
    page.refresh()
    QApplication.processEvents()  # new labels are shown by an event
    shown = [label.text() for label in page.findChildren(QLabel) if label.isVisible()]
    assert shown.count("hip") == 1
    page.closed.emit()
    assert placed.centre.currentWidget() is not page


def test_without_runs_the_page_says_what_to_do_and_offers_earlier_figures(placed):
    session = placed.session
    placed.show_precision()
    page = placed.centre.currentWidget()
    assert "Nothing is placed again yet" in page.words.text()
    assert not page.use.isVisible()
    assert not page.earlier.isVisible()
    figures = {"knee": 0.006}
    personal.remember(
        personal.PlacingPrecision(placer="Ada", u_m=figures, n_degrees_of_freedom={"knee": 20})
    )
    page.refresh()
    page.earlier.click()
    assert session.precision_in_use().u_m == figures
    page.again.click()
    assert isinstance(placed.tool, PlacingAgainPanel)


def test_figures_are_taken_up_in_one_delivery_only(placed, qtbot):
    session = placed.session
    tracks = {"left_knee": Track.of([(20, Position(640.0, 360.0, u_px=2.0))])}
    other = delivery_of("Kim 1", marks=MARKS_A, scale=SCALE, tracks=tracks)
    session.project.apply(SetDelivery(name=other.name, delivery=other))
    personal.remember(
        personal.PlacingPrecision(
            placer="Ada", u_m={"knee": 0.006}, n_degrees_of_freedom={"knee": 20}
        )
    )
    placed.show_precision()
    page = placed.centre.currentWidget()
    assert "1 positions carry" not in page.in_use.text()
    assert "1 position carries a u of its own and keeps it" in page.in_use.text()
    qtbot.keyClick(page.only_here, Qt.Key.Key_Space)
    assert page.only_here.text() == "Only in Bo 1"
    assert "of its own" not in page.in_use.text()
    qtbot.mouseClick(page.earlier, Qt.MouseButton.LeftButton)

    def placers():
        return [
            one.precision and one.precision.placer
            for delivery in session.record.deliveries
            for one in delivery.cameras
        ]

    assert placers() == ["Ada", None]
    page.only_here.setChecked(False)
    session.undo()
    qtbot.mouseClick(page.earlier, Qt.MouseButton.LeftButton)
    assert placers() == ["Ada", "Ada"]


def test_the_scatter_of_a_landmark_is_drawn_or_said_to_need_more(placed, tmp_path):
    placed.show_scatter()
    page = placed.centre.currentWidget()
    assert isinstance(page, ScatterPane)
    page.chooser.setCurrentIndex(page.chooser.findData("left_knee"))
    assert "the points scatter" in page.words.text().lower()
    with_sheet = tmp_path / "knee.png"
    page.save(with_sheet)
    assert with_sheet.stat().st_size > 1000
    tracks = figure_tracks([20, 60])
    delivery = delivery_of("Bo 1", marks=MARKS_A, scale=SCALE, tracks=tracks)
    placed.session.project.apply(SetDelivery(name="Bo 1", delivery=delivery))
    page.refresh()
    assert "too few for a residual analysis" in page.problem.text()
    assert not page.save_button.isEnabled()


def test_a_double_click_places_one_point_only(placed):
    session, panel = placed.session, begin(placed)
    target = session.asked_again(panel.side, panel.run_name)
    before = session.camera(panel.side).track(target.landmark).at(target.frame)
    canvas = placed.stages[panel.side].canvas
    canvas.is_exact = True
    double_click(canvas, canvas.view.to_widget(before.x_px, before.y_px))
    assert [one.target for one in session.placing_run(panel.side, panel.run_name).placed] == [
        target
    ]


def test_a_page_takes_the_place_of_the_one_before(placed):
    placed.show_precision()
    n_pages = placed.centre.count()
    placed.show_scatter()
    placed.show_precision()
    assert placed.centre.count() == n_pages


def test_it_is_said_where_taking_up_changes_nothing(placed):
    tracks = {"left_knee": Track.of([(140, Position(640.0, 360.0, u_px=2.0))])}
    stated = delivery_of("Bo 1", marks=MARKS_A, scale=SCALE, tracks=tracks)
    placed.session.project.apply(SetDelivery(name="Bo 1", delivery=stated))
    figures = {"knee": 0.006}
    personal.remember(
        personal.PlacingPrecision(placer="Ada", u_m=figures, n_degrees_of_freedom={"knee": 20})
    )
    placed.show_precision()
    said = []
    page = placed.centre.currentWidget()
    page.said.connect(lambda text, level: said.append((text, level)))
    page.earlier.click()
    assert said == [
        (
            "The ± of placing is now Ada's. Nothing changes: every position carries a u of its own.",
            "caution",
        )
    ]
