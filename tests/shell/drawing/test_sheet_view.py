from __future__ import annotations

import io

from reportlab.pdfgen.canvas import Canvas

from deliverylab.shell.drawing.sheet_view import SheetView, pdf_image


def sheet(width, height):
    content = io.BytesIO()
    canvas = Canvas(content, pagesize=(width, height))
    canvas.setFillColorRGB(1, 0, 0)
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
    shown = view._sheet.pixmap()
    assert abs(shown.width() - room) <= 1
    assert abs(shown.height() - room * 2 / 3) <= 2
    view.resize(424, 500)
    qtbot.waitUntil(lambda: abs(view._sheet.pixmap().width() - view.viewport().width() + 24) <= 1)
    view.show_pdf(b"", 0.0)
    assert view._sheet.pixmap().isNull()


def test_the_picture_is_that_of_the_page(qapp):
    image = pdf_image(sheet(72, 72), 100)
    assert (image.width(), image.height()) == (100, 100)
    assert image.pixelColor(20, 50).getRgb()[:3] == (255, 0, 0)
    assert image.pixelColor(80, 50).getRgb()[:3] == (255, 255, 255)
