from __future__ import annotations

import math

import numpy as np
import pytest

from deliverylab.core.errors import OutputError
from deliverylab.core.report.agreement_plot import (
    AgreementPanel,
    AgreementSheet,
    agreement_pdf,
    write_agreement_png,
)
from deliverylab.core.report.raster import page_sizes_mm, render_png


def _panel(**parts):
    given = {
        "title": "hip",
        "remark": "u 20 mm",
        "along": ((1.0, 5.0), (2.0, -12.0)),
        "up": ((0.5, 3.0),),
        "bias": -1.0,
        "limits": (-20.0, 18.0),
        "bands": ((-4.0, 2.0), (-25.0, -15.0), (13.0, 23.0)),
    }
    return AgreementPanel(**(given | parts))


def _sheet(*panels, **parts):
    return AgreementSheet(title="Sam", words="what it is", panels=panels, **parts)


def _amber(picture):
    red, green, blue = (picture[..., channel].astype(int) for channel in range(3))
    return (red > 150) & (red - blue > 120) & (green < 160)


def test_the_sheet_grows_by_rows_of_panels():
    heights = [page_sizes_mm(agreement_pdf(_sheet(*[_panel()] * n)))[0][1] for n in (1, 3, 4)]
    assert heights[0] == heights[1] < heights[2]
    wide = page_sizes_mm(agreement_pdf(_sheet(_panel(), n_columns=4)))[0][0]
    assert wide > page_sizes_mm(agreement_pdf(_sheet(_panel())))[0][0]


def test_a_larger_difference_stands_higher():
    heights = {}
    for difference in (-15.0, 15.0):
        sheet = _sheet(_panel(along=((1.0, difference),), up=()))
        rows, columns = np.nonzero(_amber(render_png(agreement_pdf(sheet), dpi=100.0)))
        # below the legend, which has a square of its own
        heights[difference] = rows[rows > 140].mean()
        assert len(columns)
    assert heights[15.0] < heights[-15.0] - 50


def test_empty_and_undefined_parts_are_drawn_without_them():
    nan = math.nan
    bare = _panel(along=(), up=(), bands=((nan, nan),) * 3)
    assert agreement_pdf(_sheet(bare)).startswith(b"%PDF")
    assert agreement_pdf(_sheet()).startswith(b"%PDF")


def test_it_is_saved_as_a_picture(tmp_path):
    path = write_agreement_png(_sheet(_panel()), tmp_path / "a.png", dpi=50.0)
    assert path.stat().st_size > 1000
    with pytest.raises(OutputError):
        write_agreement_png(_sheet(_panel()), tmp_path / "none" / "a.png", dpi=50.0)
