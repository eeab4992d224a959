from __future__ import annotations

import pytest

from deliverylab.core.compare.course import Target
from deliverylab.core.errors import OutputError
from deliverylab.core.report.progress_plot import (
    ALONE_HEIGHT,
    HEIGHT,
    MARGIN,
    N_MOST,
    WIDTH,
    ProgressSheet,
    progress_pdf,
    write_progress_sheet,
)
from deliverylab.core.report.raster import page_sizes_mm
from tests.core.report.courses_drawn import course

TARGET = Target(50.0, "more", "2026-03-01", "not reached")
LONG = "Maximiliana Wolfeschlegelsteinhausenbergerdorff-Alexanderopoulos the Third"


def _sheet(courses, **parts):
    return ProgressSheet(**({"athlete": "Ana", "courses": tuple(courses)} | parts))


def _assert_laid_out(pdf, boxes, height=HEIGHT):
    assert len(page_sizes_mm(pdf)) == 1
    assert boxes
    for number, box in enumerate(boxes):
        assert box.left >= MARGIN - 0.5, box
        assert box.right <= WIDTH - MARGIN + 0.8, box
        assert 8.0 <= box.bottom < box.top <= height - 8.0, box
        for other in boxes[number + 1 :]:
            assert box.overlap(other) < 0.6, (box, other)


@pytest.mark.parametrize("n", [0, 1, 2, 5, 8, 40])
@pytest.mark.parametrize("n_visits", [2, 3, 9])
def test_any_number_of_courses_and_visits_fits(text_boxes, n, n_visits):
    pdf = progress_pdf(_sheet(course(k, n_visits=n_visits) for k in range(n)))
    _assert_laid_out(pdf, text_boxes(pdf))


@pytest.mark.parametrize("athlete", [LONG, "N", "W" * 120, "田中 太郎", "ليلى أحمد"])
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_any_name_and_any_remarks_fit(text_boxes, athlete, system):
    courses = [course(k, target=TARGET if k % 2 else None) for k in range(30)]
    remarks = tuple(f"{LONG} {k} in {LONG}.delivery passed over: no date" for k in range(9))
    pdf = progress_pdf(_sheet(courses, athlete=athlete, remarks=remarks, system=system))
    _assert_laid_out(pdf, text_boxes(pdf))


def test_what_is_planned_or_changed_is_shown_and_the_rest_is_named(page_text):
    ones = [course(0), course(1, d=1.0, target=TARGET), course(2, d=1.0)]
    sheet = _sheet(ones)
    assert [each.metric for each in sheet.shown] == [ones[1].metric, ones[0].metric]
    rest = f"No detectable change: {ones[2].name[0].lower()}{ones[2].name[1:]}"
    assert rest in page_text(progress_pdf(sheet))
    assert len(_sheet(course(k) for k in range(40)).shown) == N_MOST


def test_where_nothing_changed_the_nearest_to_it_are_shown():
    ones = [course(0, d=1.0), course(1, d=3.0), course(2, n_visits=1)]
    assert [each.metric for each in _sheet(ones).shown] == [ones[1].metric, ones[0].metric]


def test_one_alone_says_what_its_judgement_rests_on(text_boxes, page_text):
    ones = [course(0), course(1, n_visits=5, target=TARGET)]
    sheet = _sheet(ones, only=(ones[1].metric, ones[1].event))
    pdf = progress_pdf(sheet)
    _assert_laid_out(pdf, text_boxes(pdf), ALONE_HEIGHT)
    assert [each.metric for each in sheet.shown] == [ones[1].metric]
    said = page_text(pdf)
    assert "standard error of measurement" in said
    assert ones[0].name not in said


def test_it_is_written_or_says_why_not(tmp_path):
    path = write_progress_sheet(_sheet([course(0)]), tmp_path / "a.pdf")
    assert path.read_bytes().startswith(b"%PDF")
    with pytest.raises(OutputError):
        write_progress_sheet(_sheet([course(0)]), tmp_path / "none" / "a.pdf")
