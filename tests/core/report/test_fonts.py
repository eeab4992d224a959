from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deliverylab.core.report import fonts
from deliverylab.core.report.fonts import (
    UNPRINTABLE,
    Style,
    clipped,
    doubtful,
    draw_text,
    fitted,
    runs,
    text_width,
    wrapped,
)
from deliverylab.core.report.style import BODY, INK

NEEDED = "°±−–“”’éŁñ·×≤≥…"


@pytest.fixture
def without_system_fonts(monkeypatch):
    """Pretend that the machine has no fonts of its own."""
    monkeypatch.setattr(fonts, "_FOLDERS", {})
    fonts._installed.cache_clear()
    fonts._glyph.cache_clear()
    fonts._width_at_one_point.cache_clear()
    yield
    fonts._installed.cache_clear()
    fonts._glyph.cache_clear()
    fonts._width_at_one_point.cache_clear()


@pytest.mark.parametrize("weight", ["regular", "bold"])
def test_the_carried_family_has_what_the_page_needs(weight):
    assert [run.font for run in runs(NEEDED, weight)] == [fonts.carried(weight)]
    assert doubtful(NEEDED) == ""


def test_without_other_fonts_letters_lose_their_accents(without_system_fonts):
    assert "".join(run.text for run in runs("Dvořák ąő")) == "Dvorák ao"
    assert doubtful("Dvořák") == "ř"


def test_without_other_fonts_korean_is_spelled(without_system_fonts):
    assert "".join(run.text for run in runs("김민준")) == "GimMinJun"
    assert doubtful("김") == "김"


def test_without_other_fonts_chinese_and_japanese_use_a_readers_typeface(without_system_fonts):
    assert [run.font for run in runs("A田中")] == [fonts.carried("regular"), "HeiseiKakuGo-W5"]
    assert set(doubtful("A田中")) == {"田", "中"}


def test_what_nothing_can_show_is_a_question_mark_and_is_told(without_system_fonts):
    assert "".join(run.text for run in runs("A😀")) == "A" + UNPRINTABLE
    assert doubtful("A😀") == "😀"


def test_a_question_mark_itself_is_no_doubt():
    assert doubtful("Noor?") == ""


def test_width_grows_with_size_and_weight():
    style = Style(10.0, INK)
    assert text_width("Noor", style.sized(20.0)) == pytest.approx(2 * text_width("Noor", style))
    assert text_width("Noor", style._replace(weight="bold")) > text_width("Noor", style)


def test_clipped_text_fits_and_says_so():
    shown = clipped("a name that is far too long", BODY, 60.0)
    assert shown.endswith("…")
    assert text_width(shown, BODY) <= 60.0
    assert clipped("short", BODY, 60.0) == "short"
    assert clipped("short", BODY, 1.0) == ""


def test_fitted_text_shrinks_before_it_is_cut():
    text = "a name that is long"
    shown, style = fitted(text, BODY, 0.8 * text_width(text, BODY), 5.0)
    assert shown == text
    assert 5.0 <= style.size < BODY.size
    shown, style = fitted(text, BODY, 0.3 * text_width(text, BODY), 5.0)
    assert shown.endswith("…")
    assert style.size == 5.0


@given(
    st.text(alphabet=st.characters(codec="utf-8"), max_size=80),
    st.floats(min_value=30.0, max_value=300.0),
    st.integers(min_value=1, max_value=4),
)
def test_wrapped_lines_fit_whatever_the_text(text, width, n_lines):
    lines = wrapped(text, BODY, width, n_lines)
    assert len(lines) <= n_lines
    assert all(text_width(line, BODY) <= width + 1e-6 for line in lines)


def test_wrapping_loses_nothing_where_there_is_room():
    text = "one two three four five six seven"
    assert " ".join(wrapped(text, BODY, 60.0)) == text
    word = "x" * 100
    assert "".join(wrapped(word, BODY, 60.0)) == word


def test_text_is_aligned(canvas, text_boxes):
    width = draw_text(canvas, 100.0, 700.0, "Hxx", BODY)
    draw_text(canvas, 100.0, 600.0, "Hxx", BODY, align="right")
    draw_text(canvas, 100.0, 500.0, "Hxx", BODY, align="centre")
    left, right, centre = (box.left for box in text_boxes(canvas.finish()))
    assert left - right == pytest.approx(width, abs=0.1)
    assert left - centre == pytest.approx(width / 2.0, abs=0.1)


def test_drawn_fonts_are_embedded(canvas):
    draw_text(canvas, 100.0, 700.0, "47° ± 4", BODY)
    assert b"/FontFile2" in canvas.finish()
