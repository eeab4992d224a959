from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QPushButton

from deliverylab.core.model.changes import replace
from deliverylab.core.model.precision import PlacingRun
from deliverylab.shell.dialogs.new_delivery import NewDeliveryDialog
from deliverylab.shell.outputs import LookedOver
from tests.core.video.doctored import doctored_clip
from tests.shell.conftest import camera_of, delivery_of


@pytest.fixture
def dialog(session, clip, qtbot):
    made = NewDeliveryDialog(session, clip)
    qtbot.addWidget(made)
    made.show()
    return made


@pytest.fixture
def looked_over(dialog, qtbot):
    qtbot.waitUntil(lambda: dialog._camera is not None, timeout=20_000)
    return dialog


def test_the_clip_tells_what_it_can_itself(looked_over):
    text = looked_over._facts.text()
    assert "320 × 240 px" in text
    assert "24 frames" in text
    assert "stored at 60 a second" in text
    assert looked_over.form.date.text().count("-") == 2


def test_a_name_is_all_that_has_to_be_typed(looked_over, session, clip):
    assert not looked_over._add.isEnabled()
    looked_over.form.athlete_name.setCurrentText("Bo")
    assert looked_over.form.delivery_name.text() == "Bo 1"
    assert looked_over._add.isEnabled()
    looked_over.accept()
    delivery = session.delivery("athlete")
    assert (delivery.name, delivery.athlete.name, delivery.athlete.hand) == ("Bo 1", "Bo", "right")
    assert session.clip_path("athlete") == clip
    session.undo()
    assert session.delivery("athlete") is None


def test_all_that_is_filled_in_arrives(looked_over, session, qtbot):
    form = looked_over.form
    form.athlete_name.setCurrentText("Kim")
    form.hand.choose("left")
    form.body_height.setText("6 ft 1 in")
    form.body_mass.setText("180 lb")
    form.speed.setText("90 mph")
    form.view.setCurrentIndex(form.view.findData("rear"))
    form.rate.setCurrentText("240")
    form.delivery_name.selectAll()
    qtbot.keyClicks(form.delivery_name, "third")
    looked_over.accept()
    delivery, camera = session.delivery("athlete"), session.camera("athlete")
    assert delivery.name == "third"
    assert delivery.athlete.hand == "left"
    assert delivery.athlete.height_m == pytest.approx(1.8542)
    assert delivery.athlete.mass_kg == pytest.approx(81.65, abs=0.01)
    assert delivery.ball_speed_m_s == pytest.approx(40.23, abs=0.01)
    assert (camera.view, camera.timing.true_rate_hz) == ("rear", 240.0)


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda form: form.body_height.setText("3 m"), "Height cannot be 3"),
        (lambda form: form.rate.setCurrentText("fast"), "no number"),
        (lambda form: form.rate.setCurrentText("0.2"), "capture rate"),
    ],
)
def test_what_cannot_be_true_is_said_and_nothing_is_added(looked_over, session, spoil, said):
    looked_over.form.athlete_name.setCurrentText("Bo")
    spoil(looked_over.form)
    looked_over.accept()
    assert said in looked_over._problem.text()
    assert not looked_over._problem.isHidden()
    assert session.deliveries() == ()


def test_a_file_that_is_no_clip_says_why(session, qtbot, tmp_path):
    path = tmp_path / "no.mp4"
    path.write_bytes(b"nothing of the kind")
    dialog = NewDeliveryDialog(session, path)
    qtbot.addWidget(dialog)
    qtbot.waitUntil(lambda: "Looking" not in dialog._facts.text(), timeout=20_000)
    assert "no.mp4" in dialog._facts.text()
    dialog.form.athlete_name.setCurrentText("Bo")
    assert not dialog._add.isEnabled()


def test_names_are_free_and_athletes_known(session, qtbot):
    session.add_delivery(delivery_of("Bo 1"))
    dialog = NewDeliveryDialog(session)
    qtbot.addWidget(dialog)
    dialog.form.athlete_name.setCurrentText("Bo")
    assert dialog.form.delivery_name.text() == "Bo 2"
    assert dialog.form.body_height.value == 1.86


def test_a_delivery_without_a_clip_is_complete(session, qtbot):
    dialog = NewDeliveryDialog(session)
    qtbot.addWidget(dialog)
    dialog.form.athlete_name.setCurrentText("Bo")
    dialog.width_px.setValue(640)
    dialog.stored_rate.setText("30000/1001")
    dialog.accept()
    camera = session.camera("athlete")
    assert (camera.width_px, camera.height_px, camera.clip) == (640, 1080, None)
    assert camera.timing.stored_rate == "30000/1001"


def test_facts_of_a_delivery_are_changed_in_one_step(session, qtbot):
    cameras = (camera_of(), camera_of(name="behind", view="rear"))
    session.add_delivery(replace(delivery_of("Bo 1", cameras=cameras), notes="windy"))
    dialog = NewDeliveryDialog(session, existing="Bo 1")
    qtbot.addWidget(dialog)
    assert dialog.form.athlete_name.currentText() == "Bo"
    dialog.form.body_height.setText("1.90")
    dialog.form.delivery_name.setText("Bo, first")
    dialog.form.rate.setCurrentText("480")
    n_steps = session.undo_stack.count()
    dialog.accept()
    delivery = session.delivery("athlete")
    assert (delivery.name, delivery.notes, delivery.athlete.height_m) == ("Bo, first", "windy", 1.9)
    assert [one.timing.capture_rate_hz for one in delivery.cameras] == [480.0, None]
    assert session.undo_stack.count() == n_steps + 1


def test_a_clip_may_be_another_camera_of_a_delivery(session, clip, qtbot):
    session.add_delivery(delivery_of("Bo 1"))
    made = NewDeliveryDialog(session, clip, of_delivery="Bo 1")
    qtbot.addWidget(made)
    made.show()
    qtbot.waitUntil(lambda: made._camera is not None, timeout=20_000)
    form = made.form
    assert form.athlete_name.isHidden()
    assert form.view.currentData() != "open-side", "it was filmed from there already"
    form.view.setCurrentIndex(form.view.findData("rear"))
    assert form.camera_name.text() == "rear"
    made.accept()
    assert [camera.name for camera in session.cameras_of("Bo 1")] == ["side", "rear"]
    assert session.camera("athlete").view == "rear"
    assert session.clip_path("athlete") == clip
    session.undo()
    assert session.camera("athlete").name == "side"


def test_a_camera_name_is_given_once(session, clip, qtbot):
    session.add_delivery(delivery_of("Bo 1"))
    made = NewDeliveryDialog(session, clip, of_delivery="Bo 1")
    qtbot.addWidget(made)
    qtbot.waitUntil(lambda: made._camera is not None, timeout=20_000)
    made.form.camera_name.selectAll()
    qtbot.keyClicks(made.form.camera_name, "side")
    made.accept()
    assert "has a camera of this name" in made._problem.text()
    assert len(session.cameras_of("Bo 1")) == 1


def test_delivery_and_camera_get_other_names_in_one_step(session, qtbot):
    session.add_delivery(delivery_of("Bo 1"))
    made = NewDeliveryDialog(session, existing="Bo 1")
    qtbot.addWidget(made)
    made.form.delivery_name.setText("Bo, third inning")
    made.form.camera_name.setText("phone")
    made.accept()
    assert session.delivery("athlete").name == "Bo, third inning"
    assert session.camera("athlete").name == "phone"
    session.undo()
    assert (session.delivery("athlete").name, session.camera("athlete").name) == ("Bo 1", "side")


def test_it_grows_with_what_is_found_out_so_that_nothing_is_squeezed(looked_over, qtbot):
    before = looked_over.height()
    notes = tuple(f"Note {n}: " + "frames repeat the one before, " * 5 for n in range(4))
    looked_over._on_looked_over(LookedOver(looked_over._camera, notes, ()))
    qtbot.waitUntil(lambda: looked_over.height() > before)
    for width in (looked_over.minimumWidth(), looked_over.minimumWidth() + 200):
        looked_over.resize(width, looked_over.height())
        qtbot.wait(1)
        for kind in (QPushButton, QLineEdit, QComboBox):
            for part in looked_over.findChildren(kind):
                if part.isVisible() and not isinstance(part.parent(), QComboBox):
                    assert part.height() >= part.sizeHint().height(), part
        for text in looked_over.findChildren(QLabel):
            if text.isVisible() and text.wordWrap():
                assert text.height() >= text.heightForWidth(text.width()), text.text()


def test_what_was_done_to_the_clips_time_is_said_with_what_follows(session, qtbot, tmp_path):
    path = doctored_clip(tmp_path / "c.mp4", "pulled-down", np.random.default_rng(0))
    made = NewDeliveryDialog(session, path)
    qtbot.addWidget(made)
    made.show()
    qtbot.waitUntil(lambda: made._camera is not None, timeout=20_000)
    assert "repeat the one before" in made.found.text
    assert "The time axis is repaired" in made.found.text
    assert "Do not trust" not in made.found.text
    assert made.found.isVisible()


def test_ball_and_table_of_weights_arrive_and_nothing_placed_is_lost(session, qtbot):
    run = PlacingRun(name="spring", placer="Eva")
    session.add_delivery(replace(delivery_of("Bo 1"), placing_runs=(run,)))
    made = NewDeliveryDialog(session, existing="Bo 1")
    qtbot.addWidget(made)
    made.form.ball.setCurrentIndex(made.form.ball.findData("softball-12"))
    made.form.mass_table.setCurrentIndex(made.form.mass_table.findData("dempster"))
    made.accept()
    delivery = session.delivery("athlete")
    assert (delivery.ball, delivery.athlete.mass_table) == ("softball-12", "dempster")
    assert delivery.placing_runs == (run,)
    again = NewDeliveryDialog(session, existing="Bo 1")
    qtbot.addWidget(again)
    assert again.form.ball.currentData() == "softball-12"
    assert again.form.mass_table.currentData() == "dempster"
