from __future__ import annotations

from dataclasses import replace

import pytest

from deliverylab.core.compare.parties import one_party
from deliverylab.core.report.content import compose
from deliverylab.core.report.differences import DifferenceTable
from tests.core.report.laid_out import FIT, assert_part_laid_out


@pytest.fixture
def table(athlete, model, make_differences):
    def build(n_clear, n_alike=6):
        return DifferenceTable(
            compose(one_party(athlete), one_party(model), make_differences(n_clear, n_alike)), 507.0
        )

    return build


@pytest.mark.parametrize("row_height", [14.0, 22.0, 26.0])
@pytest.mark.parametrize("n_clear", [0, 1, 4, 12])
def test_text_stays_apart_and_within_the_height(table, n_clear, row_height, canvas, text_boxes):
    fit = replace(FIT, row_height=row_height)
    part = table(n_clear)
    assert_part_laid_out(part, fit, canvas, text_boxes)


def test_rows_say_value_margin_direction_and_verdict(table, canvas, page_text):
    table(3).draw(canvas, 44.0, 700.0, FIT)
    said = page_text(canvas.finish())
    assert "111.1 ± 2.0" in said
    assert "higher" in said
    assert "by 12.1 ± 2.8" in said
    assert said.count("clear") >= 3


def test_clear_differences_without_a_row_are_named_or_counted(table):
    assert table(7).rest(FIT) == ""
    assert table(8).rest(FIT).startswith("Also clear: ")
    assert table(30).rest(FIT).endswith(" more on the technical sheet.")


def test_no_clear_difference_is_a_result(table, canvas, page_text):
    part = table(0)
    assert len(part.rows(FIT)) == 4
    part.draw(canvas, 44.0, 700.0, FIT)
    said = page_text(canvas.finish())
    assert "No clear difference" in said
    assert "no clear difference" in said
    assert "within its ±" in said


def test_nothing_to_compare_is_said(athlete, model, canvas, page_text):
    DifferenceTable(compose(one_party(athlete), one_party(model), []), 507.0).draw(
        canvas, 44.0, 700.0, FIT
    )
    assert "Nothing could be compared yet." in page_text(canvas.finish())
