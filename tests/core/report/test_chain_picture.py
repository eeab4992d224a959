from __future__ import annotations

from dataclasses import replace

import pytest

from deliverylab.core.compare.parties import one_party
from deliverylab.core.report.chain_picture import KEY, TITLE, ChainPicture
from deliverylab.core.report.content import compose
from deliverylab.core.report.page_chain import NO_PROOF, UNLINKED, page_chain
from tests.core.compare.chain_cases import line_up
from tests.core.report.laid_out import FIT, assert_part_laid_out


@pytest.fixture(scope="module")
def content(athlete, model):
    return replace(compose(one_party(athlete), one_party(model), []), chain=page_chain(line_up()))


@pytest.mark.parametrize("n_rows", [1, 2, 3, 4])
@pytest.mark.parametrize("n_lines", [1, 3, 6])
def test_it_stays_within_its_height_and_text_keeps_apart(
    content, canvas, text_boxes, n_rows, n_lines
):
    fit = replace(FIT, n_chain_rows=n_rows, n_chain_lines=n_lines)
    part = ChainPicture(content, 507.0)
    assert_part_laid_out(part, fit, canvas, text_boxes)


def test_boxes_stand_under_the_part_of_the_delivery(content, canvas, page_text):
    ChainPicture(content, 507.0).draw(canvas, 44.0, 700.0, replace(FIT, n_chain_rows=4))
    said = page_text(canvas.finish())
    for text in (TITLE, KEY, "Foot contact", "Release", "Hip turn", NO_PROOF):
        assert text in said


def test_what_has_no_room_is_counted(content):
    lines = ChainPicture(content, 507.0).text(replace(FIT, n_chain_rows=1, n_chain_lines=1))
    assert "more boxes: see the technical sheet." in " ".join(lines)


def test_that_it_is_no_proof_is_said_in_the_smallest_room(content):
    lines = ChainPicture(content, 300.0).text(replace(FIT, n_chain_lines=1))
    assert NO_PROOF in " ".join(lines)


def test_where_nothing_lines_up_a_sentence_says_so(content, canvas, page_text):
    bare = replace(content, chain=page_chain(line_up(), links=()))
    part = ChainPicture(bare, 507.0)
    part.draw(canvas, 44.0, 700.0, FIT)
    said = page_text(canvas.finish())
    assert UNLINKED in said
    assert KEY not in said
    assert 0.0 < part.height(FIT) < ChainPicture(content, 507.0).height(FIT)


def test_without_a_chain_it_takes_no_room(content):
    assert ChainPicture(replace(content, chain=None), 507.0).height(FIT) == 0.0
