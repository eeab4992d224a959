from __future__ import annotations

import cv2
import numpy as np
import pytest

from deliverylab.core.errors import InputValueError, NotFoundError, OutputError
from deliverylab.core.report.raster import page_sizes_mm, render_png, write_png


@pytest.fixture
def sheet(canvas):
    canvas.setFillColorRGB(1.0, 0.0, 0.0)
    canvas.rect(0.0, 421.0, 595.0, 421.0, stroke=0, fill=1)
    return canvas.finish()


def test_a_page_becomes_a_picture_in_rgb(sheet):
    picture = render_png(sheet, dpi=72.0)
    assert picture.shape == (842, 595, 3)
    assert picture[100, 300].tolist() == [255, 0, 0]
    assert picture[-100, 300].tolist() == [255, 255, 255]


def test_resolution_is_dots_an_inch(sheet):
    assert render_png(sheet, dpi=144.0).shape == (1684, 1190, 3)


def test_sizes_are_in_millimetres(sheet):
    ((width, height),) = page_sizes_mm(sheet)
    assert (width, height) == pytest.approx((209.9, 297.0), abs=0.1)


def test_a_file_is_read_and_a_png_written(sheet, tmp_path):
    (tmp_path / "page.pdf").write_bytes(sheet)
    path = write_png(tmp_path / "page.pdf", tmp_path / "page.png", dpi=72.0)
    back = cv2.cvtColor(cv2.imread(str(path)), cv2.COLOR_BGR2RGB)
    assert np.array_equal(back, render_png(sheet, dpi=72.0))


def test_what_is_not_there_is_said(sheet, tmp_path):
    with pytest.raises(NotFoundError, match="no such page"):
        render_png(sheet, page=1)
    with pytest.raises(NotFoundError, match="write the page first"):
        render_png(tmp_path / "none.pdf")
    with pytest.raises(InputValueError, match="no PDF"):
        render_png(b"hello")
    with pytest.raises(OutputError, match="cannot be written"):
        write_png(sheet, tmp_path / "no" / "page.png", dpi=20.0)
