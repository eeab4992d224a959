from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QFileDialog

from deliverylab.core.model.plan import Plan, Priority
from deliverylab.shell.drawing.sheet_view import paint_pdf
from deliverylab.shell.panes.page_preview import PagePane


@pytest.fixture
def pane(placed_pair, qtbot):
    made = PagePane(placed_pair)
    qtbot.addWidget(made)
    made.resize(700, 800)
    made.show()
    return made


@pytest.fixture
def ready(pane, qtbot):
    pane.make()
    qtbot.waitUntil(lambda: bool(pane.pdf), timeout=20_000)
    return pane


def test_the_page_is_seen_as_wide_as_there_is_room(ready, qtbot):
    pixmap = ready._sheet._sheets[0].pixmap()
    assert 600 <= pixmap.width() <= 700
    assert pixmap.height() / pixmap.width() == pytest.approx(297 / 210, rel=0.01)  # ISO 216, A4
    assert pixmap.toImage().pixelColor(3, 3).name() == "#ffffff"
    ready.resize(850, 800)
    qtbot.waitUntil(lambda: ready._sheet._sheets[0].pixmap().width() > 750)


def test_another_paper_makes_another_page(ready, qtbot):
    before = ready.pdf
    ready.set_paper("letter")
    with qtbot.waitSignal(ready.paper_chosen) as blocker:
        ready._on_paper_chosen()
    assert blocker.args == ["letter"]
    qtbot.waitUntil(lambda: bool(ready.pdf), timeout=20_000)
    assert ready.pdf != before


@pytest.mark.parametrize("kind", ["pdf", "png"])
def test_it_is_saved_where_asked(ready, qtbot, tmp_path, monkeypatch, kind):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "page"), ""))
    with qtbot.waitSignal(ready.saved) as blocker:
        ready.ask_where(kind)
    assert blocker.args == [str(tmp_path / f"page.{kind}")]
    assert (tmp_path / f"page.{kind}").stat().st_size > 1000


def test_it_is_painted_for_a_printer(ready):
    sheet = QImage(827, 1169, QImage.Format.Format_RGB32)
    sheet.fill(0)
    paint_pdf(ready._pdf, sheet)
    assert sheet.pixelColor(413, 5).name() == "#ffffff"
    inks = {sheet.pixelColor(x, y).name() for x in range(0, 827, 3) for y in range(0, 1169, 3)}
    assert len(inks) > 10


def test_the_technical_sheet_takes_the_place_of_the_page(ready, qtbot, tmp_path):
    page = ready.pdf
    qtbot.mouseClick(ready._kinds.button(1), Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bool(ready.pdf), timeout=20_000)
    assert ready.kind == "technical"
    assert ready._sheet.n_pages > 2
    ready.save(tmp_path / "all.png")
    pictures = sorted(file.name for file in tmp_path.iterdir())
    assert pictures[0] == "all-1.png"
    assert len(pictures) == ready._sheet.n_pages
    qtbot.mouseClick(ready._kinds.button(0), Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bool(ready.pdf), timeout=20_000)
    assert ready.pdf == page
    assert ready._sheet.n_pages == 1


def test_it_follows_the_plan_and_a_moved_landmark(ready, placed_pair, qtbot):
    before = ready.pdf
    priority = Priority(metric="stride_length", way="more", cue="Reach out.")
    placed_pair.set_plan(Plan(priorities=(priority,)))
    qtbot.waitUntil(lambda: bool(ready.pdf) and ready.pdf != before, timeout=20_000)
    planned = ready.pdf
    placed_pair.undo_stack.undo()
    qtbot.waitUntil(lambda: bool(ready.pdf) and ready.pdf != planned, timeout=20_000)
    assert ready.pdf == before


def test_a_published_partner_makes_a_page_too(ready, placed_pair, qtbot):
    before = ready.pdf
    placed_pair.choose_partner("published college")
    qtbot.waitUntil(lambda: bool(ready.pdf) and ready.pdf != before, timeout=20_000)


def test_the_whole_page_fits_where_that_is_chosen(ready, qtbot):
    ready.resize(900, 600)
    ready._size.setCurrentIndex(1)
    ready._on_size_chosen()
    qtbot.waitUntil(
        lambda: ready._sheet._sheets[0].pixmap().height() <= ready._sheet.viewport().height()
    )
    ready._size.setCurrentIndex(0)
    ready._on_size_chosen()
    assert ready._sheet._sheets[0].pixmap().height() > ready._sheet.viewport().height()


def test_without_a_partner_it_says_what_to_do(pane, placed_pair, qtbot):
    placed_pair.select("model", None)
    pane.make()
    assert "two deliveries" in pane._said.text()
    assert not pane._save.isEnabled()


def test_one_can_go_back(pane, qtbot):
    with qtbot.waitSignal(pane.closed):
        pane._back.click()


def test_it_says_which_characters_of_names_no_font_has(pane, placed_pair, qtbot):
    pane.make()
    qtbot.waitUntil(lambda: bool(pane.pdf), timeout=20_000)
    assert pane._said.isHidden()
    placed_pair.set_head("Visit", "Club \U00010330")  # a Gothic letter
    pane.make()
    qtbot.waitUntil(lambda: bool(pane.pdf), timeout=20_000)
    assert not pane._said.isHidden()
    assert "\U00010330" in pane._said.text()
