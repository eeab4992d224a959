"""A sheet of paper in the window: the very PDF that is saved and printed, as wide as there is room."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtGui import QImage, QPainter, QPixmap, QResizeEvent
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QWidget

from deliverylab.shell.outputs import page_picture

POINTS_PER_INCH = 72.0
WIDEST_PX = 1000
NARROWEST_PX = 280
MARGIN_PX = 24
PRINT_DPI = 300.0


class SheetView(QScrollArea):
    """Shows the first page of a PDF.

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
        self._sheet = QLabel()
        self._sheet.setAlignment(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop)
        self._sheet.setAccessibleName(name)
        self.setWidget(self._sheet)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        # drawing a page takes a tenth of a second: once, when the size has come to rest
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(120)
        self._timer.timeout.connect(self._draw)

    def show_pdf(self, pdf: bytes, width_points: float) -> None:
        """Show another PDF, whose page is so wide; empty bytes show nothing."""
        self.pdf, self._width_points = pdf, width_points
        self._draw()

    def describe(self, text: str) -> None:
        """Say in words what the sheet shows."""
        self._sheet.setAccessibleDescription(text)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the new size."""
        super().resizeEvent(event)
        self._timer.start()

    def _draw(self) -> None:
        if not self.pdf:
            self._sheet.clear()
            return
        width = max(NARROWEST_PX, min(self.viewport().width() - self._margin_px, WIDEST_PX))
        ratio = self.devicePixelRatioF()
        image = pdf_image(self.pdf, width * ratio / self._width_points * POINTS_PER_INCH)
        pixmap = QPixmap.fromImage(image)
        pixmap.setDevicePixelRatio(ratio)
        self._sheet.setPixmap(pixmap)


def pdf_image(pdf: bytes, dpi: float) -> QImage:
    """Return the first page of a PDF as a picture."""
    picture = page_picture(pdf, dpi)
    height, width = picture.shape[:2]
    return QImage(picture.tobytes(), width, height, 3 * width, QImage.Format.Format_RGB888).copy()


def print_pdf(pdf: bytes, parent: QWidget) -> None:
    """Ask for a printer and print the first page of a PDF."""
    from PySide6.QtPrintSupport import QPrintDialog, QPrinter

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    dialog = QPrintDialog(printer, parent)
    if dialog.exec() == QPrintDialog.DialogCode.Accepted:
        paint_pdf(pdf, printer)


def paint_pdf(pdf: bytes, device: object) -> None:
    """Paint the first page of a PDF on a device, as large as it lets it be."""
    painter = QPainter(device)  # type: ignore[call-overload]
    room = painter.viewport()
    image = pdf_image(pdf, PRINT_DPI)
    size = image.size().scaled(
        QSize(room.width(), room.height()), Qt.AspectRatioMode.KeepAspectRatio
    )
    painter.setViewport((room.width() - size.width()) // 2, 0, size.width(), size.height())
    painter.setWindow(image.rect())
    painter.drawImage(0, 0, image)
    painter.end()
