"""Words on a plate, to be laid over a picture: any script that the page can set."""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray
from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas

from deliverylab.core.report import walkthrough_style as look
from deliverylab.core.report.figures import Picture
from deliverylab.core.report.fonts import Style, clipped, draw_text, text_width
from deliverylab.core.report.raster import POINTS_PER_INCH, render_png

Label = Picture
"""RGB of a plate with its words."""
PLATE_SHARE = 0.8
"""How much of a plate covers what lies beneath."""


def label(
    text: str,
    style: Style,
    most_width: int,
    *,
    plate: Color = look.PLATE,
    margin: float = 0.5,
) -> Label:
    """Return words on a plate, RGB; cut with an ellipsis where they are wider than `most_width`.

    Parameters
    ----------
    text : str
    style : Style
        Its size in px.
    most_width : int
        Of the plate, px.
    plate : Color
        Behind the words.
    margin : float
        Beside the words, as a share of their size; above and below three quarters of that.
    """
    across, up = margin * style.size, 0.75 * margin * style.size
    shown = clipped(text, style, most_width - 2.0 * across)
    width = min(most_width, round(text_width(shown, style) + 2.0 * across))
    height = round(style.size + 2.0 * up)
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=(width, height), invariant=1)
    canvas.setFillColor(plate)
    canvas.rect(0, 0, width, height, stroke=0, fill=1)
    draw_text(canvas, across, up + 0.18 * style.size, shown, style)
    canvas.showPage()
    canvas.save()
    return render_png(buffer.getvalue(), dpi=POINTS_PER_INCH)


def lay_over(picture: Picture, plate: Label, left: int, top: int) -> None:
    """Lay a plate over a picture, in place; a dark plate lets some of the picture through."""
    height, width = picture.shape[:2]
    rows = slice(max(0, top), min(height, top + plate.shape[0]))
    columns = slice(max(0, left), min(width, left + plate.shape[1]))
    if rows.start >= rows.stop or columns.start >= columns.stop:
        return
    under = picture[rows, columns]
    over: NDArray[np.float32] = plate[
        rows.start - top : rows.stop - top, columns.start - left : columns.stop - left
    ].astype(np.float32)
    # letters are brighter than a dark plate: they cover all, and so does a bright plate
    share = np.maximum(PLATE_SHARE, over.max(axis=2, keepdims=True) / 255.0)
    under[:] = np.round(share * over + (1.0 - share) * under).astype(np.uint8)
