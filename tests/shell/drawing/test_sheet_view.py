from __future__ import annotations

import io

import pytest
from PySide6.QtPrintSupport import QPrinter
from reportlab.pdfgen.canvas import Canvas

from deliverylab.core.report.raster import page_sizes_mm, render_png
from deliverylab.shell.drawing.sheet_view import GAP_PX, SheetView, paint_pdf, pdf_image


def sheet(width, height, n_pages=1):
    content = io.BytesIO()
    canvas = Canvas(content, pagesize=(width, height))
    for number in range(n_pages):
        canvas.setFillColorRGB(1, number / 10, 0)
        canvas.rect(0, 0, width / 2, height, stroke=0, fill=1)
        canvas.showPage()
    canvas.save()
    return content.getvalue()


def test_it_is_as_wide_as_there_is_room_and_keeps_its_shape(qtbot):
    view = SheetView("A sheet")
    qtbot.addWidget(view)
    view.resize(624, 500)
    view.show()
    view.show_pdf(sheet(300, 200), 300)
    room = view.viewport().width() - 24
    shown = view._sheets[0].pixmap()
    assert abs(shown.width() - room) <= 1
    assert abs(shown.height() - room * 2 / 3) <= 2
    view.resize(424, 500)
    qtbot.waitUntil(
        lambda: abs(view._sheets[0].pixmap().width() - view.viewport().width() + 24) <= 1
    )
    view.show_pdf(b"", 0.0)
    assert view._sheets[0].pixmap().isNull()


def test_the_picture_is_that_of_the_page(qapp):
    image = pdf_image(sheet(72, 72), 100)
    assert (image.width(), image.height()) == (100, 100)
    assert image.pixelColor(20, 50).getRgb()[:3] == (255, 0, 0)
    assert image.pixelColor(80, 50).getRgb()[:3] == (255, 255, 255)


def test_pages_stand_below_one_another_and_are_drawn_when_scrolled_to(qtbot):
    view = SheetView("Sheets")
    qtbot.addWidget(view)
    view.resize(324, 300)
    view.show()
    view.show_pdf(sheet(300, 200, n_pages=8), 300)
    assert view.n_pages == 8
    assert not view._sheets[0].pixmap().isNull()
    assert view._sheets[7].pixmap().isNull()
    bar = view.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    bar.setValue(bar.maximum())
    last = view._sheets[7]
    assert last.pixmap().toImage().pixelColor(20, 20).green() == pytest.approx(0.7 * 255, abs=2)
    step = view._sheets[1].y() - view._sheets[0].y()
    assert step == view._sheets[0].height() + GAP_PX
    # the same place when it is drawn anew
    place = bar.value()
    view.show_pdf(sheet(300, 200, n_pages=8), 300)
    assert bar.value() == place
    view.show_pdf(sheet(300, 200), 300)
    assert view.n_pages == 1


def test_a_page_can_be_seen_whole(qtbot):
    view = SheetView("A sheet")
    qtbot.addWidget(view)
    view.resize(900, 700)
    view.show()
    view.show_pdf(sheet(210, 297), 210)
    assert view._sheets[0].pixmap().height() > view.viewport().height()
    view.show_whole(True)
    assert view._sheets[0].pixmap().height() <= view.viewport().height()


@pytest.mark.parametrize(("asked", "expected"), [((0, 0), 3), ((2, 3), 2)])
def test_a_printer_gets_the_pages_that_are_asked_for(qapp, tmp_path, asked, expected):
    printer = QPrinter()
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    printer.setFromTo(*asked)
    paint_pdf(sheet(210, 297, n_pages=3), printer)
    assert len(page_sizes_mm(tmp_path / "printed.pdf")) == expected
    first = render_png(tmp_path / "printed.pdf", dpi=20.0)
    height, width, _ = first.shape
    number = asked[0] - 1 if asked[0] else 0
    assert first[height // 2, width // 4, 1] == pytest.approx(number / 10 * 255, abs=2)
    assert first[height // 2, 3 * width // 4].min() > 250
