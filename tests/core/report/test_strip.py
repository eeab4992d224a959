from __future__ import annotations

from dataclasses import replace

import pytest

from deliverylab.core.compare.parties import one_party
from deliverylab.core.report.content import compose
from deliverylab.core.report.strip import Strip
from tests.core.report.laid_out import FIT


@pytest.fixture
def content(athlete, model, frame_source):
    return compose(one_party(athlete), one_party(model), [], frame_source=frame_source)


def test_text_stands_around_the_pictures_never_on_them(content, canvas, text_boxes):
    strip = Strip(content, 500.0)
    strip.draw(canvas, 50.0, 780.0, FIT)
    boxes = text_boxes(canvas.finish())
    said = " ".join(box.text for box in boxes)
    for word in ("Leg lift", "Release", "throwing side", "mirrored", "Noor V."):
        assert word in said
    first_row = (780.0 - strip.LABEL_HEIGHT, 780.0 - strip.LABEL_HEIGHT - 90.0)
    pictures_left = 50.0 + strip.GUTTER
    for box in boxes:
        is_beside = box.right <= pictures_left
        assert is_beside or box.bottom >= first_row[0] or box.top <= first_row[1] - 90.0
        assert box.bottom >= 780.0 - strip.height(FIT) - 0.5


def test_without_anything_to_see_it_takes_no_room(content):
    assert Strip(replace(content, strip=()), 500.0).height(FIT) == 0.0


def test_one_delivery_without_figures_leaves_one_row(content):
    alone = tuple(replace(event, model=None) for event in content.strip)
    one, two = Strip(replace(content, strip=alone), 500.0), Strip(content, 500.0)
    assert len(one.rows) == 1
    assert two.height(FIT) - one.height(FIT) == 90.0 + Strip.GAP


def test_an_event_of_one_delivery_says_what_is_missing(content, canvas, page_text):
    first, *others = content.strip
    half = replace(content, strip=(replace(first, model=None), *others))
    Strip(half, 500.0).draw(canvas, 50.0, 780.0, FIT)
    assert "not marked" in page_text(canvas.finish())


def test_pictures_without_points_are_shown_whole_without_bars(content):
    bare = [
        replace(
            event,
            athlete=event.athlete and replace(event.athlete, joints=(), bones=()),
            model=event.model and replace(event.model, joints=(), bones=()),
        )
        for event in content.strip
    ]
    strip = Strip(replace(content, strip=tuple(bare)), 500.0)
    figure = next(event.athlete for event in content.strip if event.athlete)
    shape = figure.height_px / figure.width_px
    assert strip.picture_height(FIT) == pytest.approx(
        min(FIT.picture_height, shape * strip.widest_cell)
    )
    # a legend of lines that are not drawn would only take room
    assert strip.height(FIT) < Strip(content, 500.0).height(FIT)
