from __future__ import annotations

from dataclasses import replace

import numpy as np
import pypdfium2
import pytest

from deliverylab.core.errors import OutputError
from deliverylab.core.metrics.rates import BY_KEY
from deliverylab.core.metrics.scatter import LandmarkScatter
from deliverylab.core.numerics.residual import residual_analysis
from deliverylab.core.report.raster import page_sizes_mm, render_png
from deliverylab.core.report.residual_plot import residual_plot_pdf, write_residual_plot


@pytest.fixture(scope="module")
def found():
    times_s = np.arange(240) / 120.0
    samples = 90.0 * np.exp(-(((times_s - 1.0) / 0.15) ** 2))
    samples += np.random.default_rng(1).normal(0.0, 2.0, len(samples))
    return LandmarkScatter(
        delivery="Ana 1", camera="phone", landmark="left_knee", rate_hz=120.0,
        analysis=residual_analysis(samples, 120.0), band=BY_KEY["knee"], assumed_u_px=3.0,
        metres_per_px=0.005, n_unreliable=12, n_by_hand=240, smoothed_u_px=0.7,
    )  # fmt: skip


def _text(pdf):
    document = pypdfium2.PdfDocument(pdf)
    try:
        return document[0].get_textpage().get_text_bounded()
    finally:
        document.close()


def test_the_drawing_says_what_was_found(found):
    text = _text(residual_plot_pdf(found))
    assert "left knee" in text
    assert f"suggested cut-off {found.analysis.cutoff_hz:.1f} Hz" in text
    assert "usual for knees and feet: 14 Hz" in text
    assert "assumed u, 3.0 px" in text
    assert f"scatter {found.scatter_px:.1f} px" in text


def test_without_a_crossing_it_says_so(found):
    none = replace(found, analysis=replace(found.analysis, cutoff_hz=None))
    assert "never meets" in _text(residual_plot_pdf(none))


def test_the_curve_is_drawn_inside_one_page(found):
    pdf = residual_plot_pdf(found)
    assert len(page_sizes_mm(pdf)) == 1
    picture = render_png(pdf, dpi=72.0).astype(int)
    dark = (picture.sum(axis=2) < 200).mean()
    # lines and letters: some ink, not a black page, and none at the very edge
    assert 0.003 < dark < 0.1
    assert (picture[[0, -1]].sum(axis=2) > 700).all()


def test_saved_as_a_picture_or_refused(found, tmp_path):
    path = write_residual_plot(found, tmp_path / "a.png")
    assert path.read_bytes().startswith(b"\x89PNG")
    with pytest.raises(OutputError):
        write_residual_plot(found, tmp_path / "no" / "a.png")
