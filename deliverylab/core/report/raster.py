"""The finished PDF as pictures: what the window shows and prints, and what is saved as PNG."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pypdfium2
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError, NotFoundError, OutputError

POINTS_PER_INCH = 72.0
Picture = NDArray[np.uint8]


def _opened(pdf: Path | str | bytes) -> pypdfium2.PdfDocument:
    where = "page in memory" if isinstance(pdf, bytes) else str(pdf)
    if not isinstance(pdf, bytes) and not Path(pdf).is_file():
        raise NotFoundError("there is no such page", where=where, remedy="write the page first")
    try:
        return pypdfium2.PdfDocument(pdf if isinstance(pdf, bytes) else Path(pdf))
    except pypdfium2.PdfiumError as error:
        raise InputValueError(
            "this is no PDF that can be read", where=where, remedy="write the page again"
        ) from error


def page_sizes_mm(pdf: Path | str | bytes) -> tuple[tuple[float, float], ...]:
    """Return the width and height of each page, millimetres.

    Raises
    ------
    NotFoundError, InputValueError
        No such file, or not a PDF.
    """
    document = _opened(pdf)
    try:
        sizes = [document.get_page_size(number) for number in range(len(document))]
    finally:
        document.close()
    to_mm = 25.4 / POINTS_PER_INCH
    return tuple((width * to_mm, height * to_mm) for width, height in sizes)


def render_png(pdf: Path | str | bytes, page: int = 0, dpi: float = 150.0) -> Picture:
    """Return a page as a picture.

    Parameters
    ----------
    pdf : path or bytes
        The file, or its content.
    page : int
        Page, from 0.
    dpi : float
        Dots an inch: about 110 for a screen, 300 for a printer.

    Returns
    -------
    ndarray of uint8, shape (height, width, 3)
        RGB.

    Raises
    ------
    NotFoundError, InputValueError
        No such file or page, or not a PDF.
    """
    document = _opened(pdf)
    try:
        if not 0 <= page < len(document):
            raise NotFoundError(
                "no such page", where=f"{page + 1}", remedy=f"there are {len(document)}"
            )
        sheet = document[page]
        bitmap = sheet.render(scale=dpi / POINTS_PER_INCH, rev_byteorder=True)
        picture: Picture = np.array(bitmap.to_numpy()[..., :3], dtype=np.uint8, order="C")
        bitmap.close()
        sheet.close()
    finally:
        document.close()
    return picture


def write_png(pdf: Path | str | bytes, path: Path | str, page: int = 0, dpi: float = 200.0) -> Path:
    """Save a page as a PNG file and return its path.

    Raises
    ------
    OutputError
        The file cannot be written.
    NotFoundError, InputValueError
        As for `render_png`.
    """
    return write_picture(render_png(pdf, page, dpi), path)


def write_picture(picture: Picture, path: Path | str) -> Path:
    """Save an RGB picture as a PNG file, every pixel as it is, and return its path.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    _, encoded = cv2.imencode(".png", cv2.cvtColor(picture, cv2.COLOR_RGB2BGR))
    target = Path(path)
    try:
        target.write_bytes(encoded.tobytes())
    except OSError as error:
        raise OutputError(
            "the picture cannot be written", where=str(target), remedy=f"{error.strerror}"
        ) from error
    return target
