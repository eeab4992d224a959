"""Words on a plate, to be laid over a picture: any script that the page can set."""

from __future__ import annotations

import io

import numpy as np
from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas

from deliverylab.core.report import walkthrough_style as look
from deliverylab.core.report.figures import Picture
from deliverylab.core.report.fonts import clipped, draw_text, text_width
from deliverylab.core.report.raster import POINTS_PER_INCH, render_png

Label = Picture
"""RGB of a plate with its words."""
PLATE_SHARE = 0.78
"""How much of a plate covers what lies beneath."""


def label(text: str, colour: Color, unit: float, most_width: int) -> Label:
    """Return words on a plate, RGB; cut with an ellipsis where they are wider than `most_width`."""
    style = look.NAME._replace(colour=colour).sized(look.NAME.size * unit)
    across, up = 16.0 * unit, 11.0 * unit
    text = clipped(text, style, most_width - 2.0 * across)
    width = min(most_width, round(text_width(text, style) + 2.0 * across))
    height = round(style.size + 2.0 * up)
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=(width, height), invariant=1)
    canvas.setFillColor(look.PLATE)
    canvas.rect(0, 0, width, height, stroke=0, fill=1)
    draw_text(canvas, across, up + 0.18 * style.size, text, style)
    canvas.showPage()
    canvas.save()
    return render_png(buffer.getvalue(), dpi=POINTS_PER_INCH)


def lay_over(picture: Picture, plate: Label, left: int, top: int) -> None:
    """Lay a plate over a picture, in place; the plate lets some of the picture through."""
    height, width = (
        min(plate.shape[0], picture.shape[0] - top),
        min(plate.shape[1], picture.shape[1] - left),
    )
    under = picture[top : top + height, left : left + width]
    over = plate[:height, :width].astype(np.float32)
    # letters are brighter than the plate: they cover all
    share = np.maximum(PLATE_SHARE, over.max(axis=2, keepdims=True) / 255.0)
    under[:] = np.round(share * over + (1.0 - share) * under).astype(np.uint8)
