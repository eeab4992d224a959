from __future__ import annotations

import itertools
import re
import time

import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.report.field_layout import field_layout
from deliverylab.core.report.field_sheet import (
    BODY,
    MARGIN_BOTTOM,
    MARGIN_SIDE,
    MARGIN_TOP,
    Sheet,
    chosen_fit,
    field_sheet_pdf,
)
from deliverylab.core.report.field_words import CAUTIONS
from deliverylab.core.report.page import PAPERS
from deliverylab.core.report.raster import page_sizes_mm, render_png
from deliverylab.core.vocabulary.field import FIELDS

SIZES = [size.key for size in FIELDS]
QUESTIONS = list(
    itertools.product(SIZES, ["left", "right"], ["metric", "imperial"], ["a4", "letter"])
)


def _assert_laid_out(pdf, paper, boxes):
    """Check one page, text inside the margins, and nothing written over something else."""
    assert len(page_sizes_mm(pdf)) == 1
    width, height = PAPERS[paper]
    assert len(boxes) > 50
    for number, box in enumerate(boxes):
        assert box.left >= MARGIN_SIDE - 0.5, box
        assert box.right <= width - MARGIN_SIDE + 0.5, box
        assert box.bottom >= MARGIN_BOTTOM - 0.5, box
        assert box.top <= height - MARGIN_TOP + 0.5, box
        for other in boxes[number + 1 :]:
            assert box.overlap(other) < 0.6, (box, other)


@pytest.mark.parametrize(("key", "hand", "system", "paper"), QUESTIONS)
def test_every_sheet_is_one_page_with_its_words_clear(text_boxes, key, hand, system, paper):
    pdf = field_sheet_pdf(key, hand, system, paper)
    _assert_laid_out(pdf, paper, text_boxes(pdf))


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize("distances", [(5, 5), (5, 15), (15, 5), (11, 11), (15, 15), (6, 11)])
def test_any_distance_fits(text_boxes, distances, system, paper):
    pdf = field_sheet_pdf("baseball", "left", system, paper, *distances)
    _assert_laid_out(pdf, paper, text_boxes(pdf))


def test_all_steps_and_cautions_are_there(page_text):
    said = page_text(field_sheet_pdf("baseball", "right", "metric", "letter"))
    steps = (
        "Bring",
        "Lay out the cones",
        "Stand the phones",
        "Set, the same",
        "Film in this order",
    )
    for number, step in enumerate((*steps, "Check before you leave", "At the desk"), start=1):
        assert f"{number} {step}" in said
    assert " ".join(CAUTIONS) in said


@pytest.mark.parametrize(
    ("system", "words"),
    [
        ("metric", ("2.00 m", "0.80 m", "2.15 m", "1.60 m", "18.44 m", "5.2 m")),
        (
            "imperial",
            ("6 ft 6¾ in", "2 ft 7½ in", "7 ft 0¾ in", "5 ft 3 in", "60 ft 6 in", "17 ft"),
        ),
    ],
)
def test_numbers_are_in_the_readers_units(page_text, system, words):
    said = page_text(field_sheet_pdf("baseball", "right", system, "a4"))
    for number in words:
        assert number in said


def test_nothing_is_written_on_the_figures_or_smaller_than_can_be_read(text_boxes):
    pdf = field_sheet_pdf("baseball", "right", "metric", "a4")
    document = pypdfium2.PdfDocument(pdf)
    page = document[0]
    figures = [item.get_bounds() for item in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE])]
    assert len(figures) == 4
    for left, bottom, right, top in figures:
        for box in text_boxes(pdf):
            across = min(box.right, right) - max(box.left, left)
            up = min(box.top, top) - max(box.bottom, bottom)
            # the cut-outs are clear at their edges
            assert min(across, up) < 5.0, box
    text = page.get_textpage()
    sizes = {
        round(pdfium.FPDFText_GetFontSize(text, index), 1) for index in range(text.count_chars())
    }
    text.close()
    page.close()
    document.close()
    assert BODY.size in sizes
    assert min(sizes - {1.0}) >= 8.6


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_drawings_stay_large_enough(paper):
    width, height = PAPERS[paper]
    for key, hand, system in itertools.product(SIZES, ["left", "right"], ["metric", "imperial"]):
        sheet = Sheet(field_layout(key, hand), system, width - 2.0 * MARGIN_SIDE)
        room = height - MARGIN_TOP - MARGIN_BOTTOM - sheet.foot_height
        fit = chosen_fit(sheet, room)
        assert sheet.needed(fit) <= room + 1e-6
        assert fit.picture_height >= 104.0
        assert fit.plan_height >= 190.0


def test_too_little_room_is_a_fault_that_shows():
    sheet = Sheet(field_layout("baseball", "right"), "metric", 520.0)
    with pytest.raises(RuntimeError, match="needs"):
        chosen_fit(sheet, 500.0)


def test_the_same_question_gives_the_same_bytes_without_a_place_or_a_loose_font():
    pdf = field_sheet_pdf("softball-40", "left", "imperial", "letter")
    assert pdf == field_sheet_pdf("softball-40", "left", "imperial", "letter")
    fonts = re.findall(rb"/BaseFont /(\S+)", pdf)
    assert fonts
    assert all(re.match(rb"[A-Z]{6}\+", name) for name in fonts)
    assert pdf.count(b"/FontFile2") == len(fonts) == 2
    assert b"/home/" not in pdf


def test_edges_of_the_paper_stay_free():
    picture = render_png(field_sheet_pdf("baseball", "right", "metric", "letter"), dpi=72.0)
    assert picture.shape == (792, 612, 3)
    edge = int(MARGIN_BOTTOM) - 2
    for side in (picture[:edge], picture[-edge:], picture[:, :edge], picture[:, -edge:]):
        assert side.min() == 255


def test_a_sheet_takes_less_than_two_seconds():
    start = time.perf_counter()
    field_sheet_pdf("youth-50", "right", "metric", "a4")
    assert time.perf_counter() - start < 2.0


def test_what_cannot_be_done_is_said():
    with pytest.raises(InputValueError, match="unknown paper"):
        field_sheet_pdf("baseball", "right", "metric", "a5")
    with pytest.raises(NotFoundError, match="field size"):
        field_sheet_pdf("cricket", "right", "metric", "a4")
    with pytest.raises(InputValueError, match="near or so far"):
        field_sheet_pdf("baseball", "right", "metric", "a4", 3.0)
