"""Sheets of paper in the window: the very PDF that is saved and printed, as wide as there is room."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QImage, QPainter, QPixmap, QResizeEvent
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from deliverylab.shell.drawing.rgb_image import rgb_image
from deliverylab.shell.outputs import page_count, page_picture

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

POINTS_PER_INCH = 72.0
WIDEST_PX = 1000
NARROWEST_PX = 280
MARGIN_PX = 24
GAP_PX = 14
"""Between two pages."""
PRINT_DPI = 300.0


class SheetView(QScrollArea):
    """Shows the pages of a PDF below one another; those out of sight are drawn when scrolled to.

    Parameters
    ----------
    name : str
        What it is, for who cannot see it.
    margin_px : int
        Room left free beside the sheet.

    Attributes
    ----------
    pdf : bytes
        What is shown; empty while there is nothing.
    """

    def __init__(
        self, name: str, parent: QWidget | None = None, *, margin_px: int = MARGIN_PX
    ) -> None:
        super().__init__(parent)
        self.pdf = b""
        self._width_points = 0.0
        self._margin_px = margin_px
        self._is_whole = False
        self._name = name
        self._height_per_width = 0.0
        self._drawn: dict[int, float] = {}
        """Dots an inch at which a page is drawn, by its number."""
        holder = QWidget()
        self._column = QVBoxLayout(holder)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(GAP_PX)
        self._column.setAlignment(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop)
        self._sheets: list[QLabel] = []
        self._add_sheet()
        self.setWidget(holder)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        # drawing a page takes a tenth of a second: once, when the size has come to rest
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(120)
        self._timer.timeout.connect(self._draw)
        self.verticalScrollBar().valueChanged.connect(self._draw_seen)

    @property
    def n_pages(self) -> int:
        """Pages that are shown."""
        return len(self._sheets) if self.pdf else 0

    def show_pdf(self, pdf: bytes, width_points: float) -> None:
        """Show another PDF, whose page is so wide, at the same place; empty bytes show nothing."""
        self.pdf, self._width_points = pdf, width_points
        n_pages = page_count(pdf) if pdf else 1
        while len(self._sheets) < n_pages:
            self._add_sheet()
        while len(self._sheets) > n_pages:
            self._sheets.pop().deleteLater()
        self._height_per_width = 0.0
        if pdf:
            height, width = page_picture(pdf, 10.0).shape[:2]
            self._height_per_width = height / width
        self._draw()

    def show_whole(self, is_whole: bool) -> None:
        """Show each page whole, or as wide as there is room."""
        self._is_whole = is_whole
        self._draw()

    def describe(self, text: str) -> None:
        """Say in words what the sheet shows."""
        self._sheets[0].setAccessibleDescription(text)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the new size."""
        super().resizeEvent(event)
        self._timer.start()

    def _add_sheet(self) -> None:
        sheet = QLabel()
        sheet.setAlignment(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop)
        number = len(self._sheets)
        sheet.setAccessibleName(f"{self._name}, page {number + 1}" if number else self._name)
        self._sheets.append(sheet)
        self._column.addWidget(sheet)

    def _width_px(self) -> int:
        """Return how wide a page is drawn, in the window's px."""
        room = self.viewport().size()
        width = float(room.width() - self._margin_px)
        if self._is_whole:
            width = min(width, (room.height() - GAP_PX) / self._height_per_width)
        return round(max(NARROWEST_PX, min(width, WIDEST_PX)))

    def _draw(self) -> None:
        """Give all pages their size, and draw those in sight."""
        self._drawn.clear()
        if not self.pdf:
            self._sheets[0].clear()
            self._sheets[0].setMinimumSize(0, 0)
            return
        width = self._width_px()
        for sheet in self._sheets:
            sheet.setMinimumSize(width, round(width * self._height_per_width))
        self._draw_seen()

    def _draw_seen(self) -> None:
        if not self.pdf:
            return
        width = self._width_px()
        ratio = self.devicePixelRatioF()
        dpi = width * ratio / self._width_points * POINTS_PER_INCH
        step = width * self._height_per_width + GAP_PX
        top = self.verticalScrollBar().value()
        first = max(0, int(top // step))
        last = min(self.n_pages - 1, int((top + self.viewport().height()) // step))
        for number in range(first, last + 1):
            if self._drawn.get(number) == dpi:
                continue
            pixmap = QPixmap.fromImage(pdf_image(self.pdf, dpi, number))
            pixmap.setDevicePixelRatio(ratio)
            self._sheets[number].setPixmap(pixmap)
            self._drawn[number] = dpi


def pdf_image(pdf: bytes, dpi: float, page: int = 0) -> QImage:
    """Return a page of a PDF as a picture."""
    return rgb_image(page_picture(pdf, dpi, page))


def print_pdf(pdf: bytes, parent: QWidget) -> None:
    """Ask for a printer and print a PDF, or those of its pages that are asked for."""
    from PySide6.QtPrintSupport import QPrintDialog, QPrinter

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    dialog = QPrintDialog(printer, parent)
    dialog.setMinMax(1, page_count(pdf))
    if dialog.exec() == QPrintDialog.DialogCode.Accepted:
        paint_pdf(pdf, printer)


def paint_pdf(pdf: bytes, device: QPrinter | QImage) -> None:
    """Paint a PDF on a printer, page by page, or its first page on a picture.

    Each is as large as the device lets it be.
    """
    painter = QPainter(device)
    for number, page in enumerate(_asked_for(pdf, device)):
        if number and not isinstance(device, QImage):
            device.newPage()
        image = pdf_image(pdf, PRINT_DPI, page)
        size = image.size().scaled(
            QSize(device.width(), device.height()), Qt.AspectRatioMode.KeepAspectRatio
        )
        painter.setViewport((device.width() - size.width()) // 2, 0, size.width(), size.height())
        painter.setWindow(image.rect())
        painter.drawImage(0, 0, image)
    painter.end()


def _asked_for(pdf: bytes, device: QPrinter | QImage) -> range:
    """Return the pages that a device shall show, from 0."""
    if isinstance(device, QImage):
        return range(1)
    n_pages = page_count(pdf)
    first = max(1, device.fromPage())
    last = min(n_pages, device.toPage() or n_pages)
    return range(first - 1, last)
