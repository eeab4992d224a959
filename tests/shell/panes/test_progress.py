from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.projectfile import save_project
from deliverylab.shell.panes.progress import ALL, KEY, NOTHING, UNSAVED, ProgressPane
from tests.shell.several import fill_several, of_bo


@pytest.fixture
def several(session, tmp_path):
    fill_several(session)
    later = tuple(of_bo(f"Bo {n}", "2026-06-01") for n in (7, 8, 9))
    save_project(ProjectRecord(deliveries=later), tmp_path / "june.delivery")
    (tmp_path / "bad.delivery").write_text("{ no")
    session.save_as(tmp_path / "may.delivery")
    return session


@pytest.fixture
def pane(several, qtbot):
    made = ProgressPane(several)
    qtbot.addWidget(made)
    made.resize(1000, 700)
    made.show()
    qtbot.waitUntil(lambda: made.metrics.count() > 1, timeout=10_000)
    return made


def _texts(pane):
    return [pane.metrics.item(row).text() for row in range(pane.metrics.count())]


def test_it_begins_with_the_athlete_on_the_stage_and_the_whole_sheet(pane):
    assert pane.chooser.currentText() == "Bo"
    assert _texts(pane)[0] == ALL
    assert pane.metrics.currentRow() == 0
    assert pane.sheet.pdf.startswith(b"%PDF")
    assert "3 visits" in pane.words.text()
    assert "bad.delivery passed over" in pane.notes.text()


def test_metrics_are_grouped_by_what_became_of_them(pane):
    heads = [text for text in _texts(pane) if "  ·  " in text]
    assert heads[0].startswith("No detectable change")  # all throws are alike
    head = next(row for row, text in enumerate(_texts(pane)) if text in heads)
    assert pane.metrics.item(head).flags() == Qt.ItemFlag.NoItemFlags


def test_a_metric_shows_its_course_by_mouse_and_by_key(pane, qtbot):
    whole = pane.sheet.pdf
    item = pane.metrics.item(2)
    assert item.data(KEY) is not None
    at = pane.metrics.visualItemRect(item).center()
    qtbot.mouseClick(pane.metrics.viewport(), Qt.MouseButton.LeftButton, pos=at)
    one = pane.sheet.pdf
    assert one != whole
    qtbot.keyClick(pane.metrics, Qt.Key.Key_Down)
    assert pane.sheet.pdf not in {one, whole}


def test_another_athlete_can_be_looked_at(pane, qtbot):
    pane.chooser.setCurrentIndex(pane.chooser.findText("Kim"))
    qtbot.waitUntil(lambda: not pane.metrics.isVisible(), timeout=10_000)
    assert "Kim in may.delivery passed over: it has no date" in pane.notes.text()
    assert pane.words.text() == NOTHING
    assert not pane.save_button.isEnabled()


def test_what_is_edited_meanwhile_counts_when_it_is_shown_again(pane, several, qtbot):
    pane.hide()
    moved = SetDelivery(name="Bo 4", delivery=of_bo("Bo 4", "2026-05-01"))
    several.project.apply(moved)
    pane.show()
    qtbot.waitUntil(lambda: "2 visits" in pane.words.text(), timeout=10_000)


def test_it_is_saved(pane, tmp_path, qtbot):
    with qtbot.waitSignal(pane.saved):
        pane.save(tmp_path / "bo.pdf")
    assert (tmp_path / "bo.pdf").read_bytes() == pane.sheet.pdf


def test_without_a_file_it_says_what_to_do(session, qtbot):
    made = ProgressPane(fill_several(session))
    qtbot.addWidget(made)
    made.show()
    qtbot.waitUntil(lambda: made.words.text() == UNSAVED)
    assert not made.metrics.isVisible()
