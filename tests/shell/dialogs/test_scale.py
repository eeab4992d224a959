from __future__ import annotations

import pytest

from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.shell.dialogs.scale import ScalePanel
from tests.shell.conftest import MARKS_A, SCALE, delivery_of, figure_tracks


@pytest.fixture
def panel(session, qtbot):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A, tracks=figure_tracks([24])))
    made = ScalePanel(session, "athlete")
    qtbot.addWidget(made)
    made.show()
    return made


def _click(panel, qtbot, kind, points):
    with qtbot.waitSignal(panel.points_wanted) as blocker:
        panel._pick[kind].click()
    assert blocker.args[0] == len(points)
    panel.take_points(points)


def test_two_clicks_and_a_length_make_a_scale(panel, session, qtbot):
    assert not panel._apply.isEnabled()
    _click(panel, qtbot, "scale", [(100.0, 600.0), (400.0, 600.0)])
    assert "300 px apart" in panel._said["scale"].text()
    panel.length.setText("1.5 m")
    assert "1 px is 5.00 mm" in panel._preview.text()
    assert "Bo would stand 372 px tall" in panel._preview.text()
    # head top at 180 px, heels at 615 px
    assert "2.17 m" in panel._preview.text() or "2.18 m" in panel._preview.text()
    with qtbot.waitSignal(panel.closed):
        panel._apply.click()
    scale = session.scale("athlete")
    assert (scale.a, scale.b, scale.length_m) == (Point(100, 600), Point(400, 600), 1.5)
    assert scale.u_length_m == pytest.approx(0.005)  # ± 0.01 m is U = 2u


def test_known_lengths_are_offered(panel):
    texts = [panel.known.itemText(row) for row in range(panel.known.count())]
    assert not any("wide" in text for text in texts), "from the side the rubber shows its depth"
    panel.known.setCurrentIndex(texts.index("Bo standing upright"))
    panel.known.activated.emit(panel.known.currentIndex())
    assert panel.length.value == 1.86


def test_a_taped_length_begins_at_the_rubber(panel, qtbot):
    row = next(r for r in range(panel.known.count()) if "taped mark" in panel.known.itemText(r))
    panel.known.setCurrentIndex(row)
    with qtbot.waitSignal(panel.points_wanted) as blocker:
        panel.known.activated.emit(row)
    assert "rubber's front edge, then the mark" in blocker.args[1]
    panel.take_points([(100.0, 600.0), (400.0, 610.0)])
    panel.length.setText("2 m")
    assert panel.made().rubber == panel.made().a == Point(100.0, 600.0)
    panel.move_point("a", 110.0, 605.0)
    assert panel.made().rubber == panel.made().a == Point(110.0, 605.0)


def test_points_are_told_while_they_change(panel, qtbot):
    told = []
    panel.handles_changed.connect(told.append)
    _click(panel, qtbot, "scale", [(100.0, 600.0), (400.0, 600.0)])
    _click(panel, qtbot, "vertical", [(500.0, 100.0), (500.0, 500.0)])
    panel.length.setText("1.5 m")
    assert {one.key for one in told[-1]} == {"a", "b", "top", "bottom"}
    assert told[-1][0].text == "1.50 m · 1 px = 5.00 mm"
    panel.move_point("b", 250.0, 600.0)
    assert told[-1][0].text == "1.50 m · 1 px = 10.00 mm"
    assert "1 px is 10.00 mm" in panel._preview.text()
    panel.move_point("top", 540.0, 100.0)
    assert panel.vertical.value == pytest.approx(5.7, abs=0.05)
    panel.ask("scale")
    assert {one.key for one in told[-1]} == {"top", "bottom"}, "the others are clicked anew"
    panel.give_up_points()
    assert {one.key for one in told[-1]} == {"a", "b", "top", "bottom"}


@pytest.mark.parametrize(
    ("points", "lean_deg"),
    [
        ([(500.0, 100.0), (500.0, 500.0)], 0.0),
        ([(500.0, 500.0), (500.0, 100.0)], 0.0),
        # leaning to the right is clockwise, positive
        ([(540.0, 100.0), (500.0, 500.0)], 5.7),
        ([(460.0, 100.0), (500.0, 500.0)], -5.7),
    ],
)
def test_a_plumb_line_gives_the_vertical_whichever_end_is_first(panel, qtbot, points, lean_deg):
    _click(panel, qtbot, "vertical", points)
    assert panel.vertical.value == pytest.approx(lean_deg, abs=0.05)
    assert 0.5 <= panel.u_vertical.value <= 0.8


def test_all_fields_arrive_and_are_shown_again(panel, session, qtbot):
    _click(panel, qtbot, "scale", [(100.0, 600.0), (400.0, 600.0)])
    _click(panel, qtbot, "rubber", [(90.0, 610.0)])
    for edit, text in (
        (panel.length, "150 cm"),
        (panel.u_length, "2 cm"),
        (panel.distance, "9 m"),
        (panel.u_distance, "0.5 m"),
        (panel.vertical, "1.5"),
        (panel.u_vertical, "1"),
        (panel.yaw, "-4°"),
        (panel.u_yaw, "5"),
    ):
        edit.setText(text)
    panel.plate.setCurrentIndex(panel.plate.findData("left"))
    panel.apply()
    scale = session.scale("athlete")
    assert scale == PlanarScale(
        a=Point(100, 600),
        b=Point(400, 600),
        length_m=1.5,
        u_length_m=0.01,
        vertical_deg=1.5,
        u_vertical_deg=0.5,
        toward_plate="left",
        distance_m=9.0,
        u_distance_m=0.25,
        yaw_deg=-4.0,
        u_yaw_deg=2.5,
        rubber=Point(90, 610),
    )
    again = ScalePanel(session, "athlete")
    qtbot.addWidget(again)
    assert again.made() == scale


def test_what_cannot_be_true_is_said_and_not_taken(panel, qtbot):
    _click(panel, qtbot, "scale", [(100.0, 600.0), (102.0, 600.0)])
    panel.length.setText("1.5 m")
    assert "too close together" in panel._problem.text()
    assert not panel._apply.isEnabled()
    _click(panel, qtbot, "scale", [(100.0, 600.0), (400.0, 600.0)])
    assert panel._apply.isEnabled()
    panel.yaw.setText("much")
    assert not panel._apply.isEnabled()


def test_a_scale_that_is_there_is_shown(pair, qtbot):
    panel = ScalePanel(pair, "athlete")
    qtbot.addWidget(panel)
    assert panel.made() == SCALE
    with qtbot.waitSignal(panel.closed):
        panel._cancel.click()
    assert not pair.undo_stack.canUndo()
