from __future__ import annotations

import pytest

from deliverylab.core.compare.parties import one_party
from deliverylab.core.report.blocks import Band, Cautions, Curve, Fit, Header, Measured
from deliverylab.core.report.content import compose
from deliverylab.core.report.courses import chosen_chart

FIT = Fit(
    picture_height=100.0,
    n_rows=7,
    row_height=26.0,
    n_list_lines=5,
    chart_height=100.0,
    n_measured_lines=10,
    gap=15.0,
)


@pytest.fixture(scope="module")
def content(athlete, model, make_differences):
    return compose(
        one_party(athlete),
        one_party(model),
        make_differences(3),
        chart=chosen_chart(athlete, model, [], "metric"),
        organisation="Alder Creek Throwing School",
    )


@pytest.mark.parametrize("kind", [Header, Curve, Measured, Cautions])
def test_a_part_stays_within_the_height_it_announces(kind, content, canvas, text_boxes):
    part = kind(content, 300.0)
    part.draw(canvas, 100.0, 700.0, FIT)
    boxes = text_boxes(canvas.finish())
    assert boxes
    assert max(box.top for box in boxes) <= 700.5
    assert min(box.bottom for box in boxes) >= 700.0 - part.height(FIT) - 0.5
    assert min(box.left for box in boxes) >= 99.5
    assert max(box.right for box in boxes) <= 400.5


def test_measured_cuts_sentences_to_its_lines(content):
    part = Measured(content, 200.0)
    few = Fit(**{**FIT.__dict__, "n_measured_lines": 3})
    assert sum(len(lines) for lines in part.paragraphs(few)) == 3
    assert part.height(few) < part.height(FIT)


def test_cautions_are_never_cut(content):
    part = Cautions(content, 250.0)
    assert " ".join(part.lines) == " ".join(content.cautions)


def test_without_a_chart_the_part_takes_no_room(athlete, model):
    part = Curve(compose(one_party(athlete), one_party(model), []), 300.0)
    assert part.height(FIT) == 0.0


def test_a_band_is_as_high_as_its_taller_part(content):
    first, second = Curve(content, 300.0), Measured(content, 150.0)
    band = Band(first, second, 324.0)
    assert band.height(FIT) == max(first.height(FIT), second.height(FIT))
