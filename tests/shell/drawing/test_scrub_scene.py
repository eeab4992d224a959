from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from deliverylab.shell.drawing.scrub_scene import (
    ScrubLayout,
    ScrubRow,
    ScrubScene,
    coverage_columns,
    zoomed_span,
)


def row_of(n_frames=240, coverage=None, **fields) -> ScrubRow:
    times_s = np.arange(n_frames) / 240.0
    return ScrubRow(
        side=fields.pop("side", "athlete"),
        name="Bo 1",
        axis=fields.pop("axis", times_s),
        times_s=times_s,
        coverage=np.zeros(n_frames) if coverage is None else coverage,
        first_frame=fields.pop("first_frame", 0),
        last_frame=fields.pop("last_frame", n_frames - 1),
        **fields,
    )


def layout_of(scene: ScrubScene, width=900.0) -> ScrubLayout:
    low, high = scene.whole_span
    return ScrubLayout(width, 240.0, low, high, len(scene.rows))


@given(frame=st.integers(0, 239))
def test_each_frame_is_found_where_it_lies(frame):
    row = row_of()
    layout = layout_of(ScrubScene(rows=(row,)))
    x = layout.x_of(float(row.axis[frame]))
    assert layout.left <= x <= layout.right
    assert row.frame_at(layout.place_of(x)) == frame


def test_frames_are_kept_within_the_trim():
    row = row_of(first_frame=20, last_frame=200)
    assert row.frame_at(-5.0) == 20
    assert row.frame_at(5.0) == 200


def test_the_nearer_of_two_frames_is_taken():
    row = row_of()
    assert row.frame_at(10.4 / 240) == 10
    assert row.frame_at(10.6 / 240) == 11


def test_a_place_on_a_bent_axis_gives_the_clips_own_time():
    times_s = np.arange(240) / 240.0
    row = row_of(axis=0.3 + 2.0 * times_s)
    assert row.time_at(0.3 + 2.0 * 0.4) == pytest.approx(0.4)


def test_one_placed_frame_among_thousands_is_seen():
    coverage = np.zeros(4000)
    coverage[1733] = 1.0
    row = row_of(4000, coverage)
    layout = layout_of(ScrubScene(rows=(row,)))
    columns = coverage_columns(row, layout, 700)
    assert np.nanmax(columns) == 1.0
    lit = np.flatnonzero(columns == 1.0)
    assert len(lit) <= 2
    x = layout.x_of(float(row.axis[1733])) - layout.left
    width = layout.right - layout.left
    assert abs(lit[0] - x * 700 / width) <= 1.5


def test_columns_off_the_clip_are_empty():
    row = row_of(coverage=np.ones(240))
    layout = ScrubLayout(900.0, 240.0, -1.0, 2.0, 1)
    columns = coverage_columns(row, layout, 600)
    assert np.isnan(columns[:190]).all()
    assert np.isnan(columns[-190:]).all()
    assert (columns[210:390] == 1.0).all()


def test_wide_frames_are_kept_apart():
    row = row_of(20, np.ones(20))
    layout = layout_of(ScrubScene(rows=(row,)))
    columns = coverage_columns(row, layout, 700)
    inside = np.isnan(columns[60:640])
    assert inside.sum() >= 15


@given(factor=st.floats(0.05, 30.0), about=st.floats(0.0, 1.0), turns=st.integers(1, 5))
def test_the_axis_is_never_zoomed_beyond_its_ends(factor, about, turns):
    scene = ScrubScene(rows=(row_of(),))
    low, high = scene.whole_span
    span = (low, high)
    for _ in range(turns):
        span = zoomed_span(scene, span, factor, low + about * (high - low))
        assert low - 1e-9 <= span[0] < span[1] <= high + 1e-9
        assert span[1] - span[0] >= 0.99 * (high - low) * 12 / 240


def test_a_click_below_the_flags_belongs_to_its_row():
    scene = ScrubScene(rows=(row_of(), row_of(side="model")))
    layout = layout_of(scene)
    for number in (0, 1):
        assert layout.row_number_at(layout.row_rect(number).center().y()) == number
    assert layout.row_number_at(5.0) is None
    assert layout.row_number_at(layout.curve_rect.center().y()) is None


def test_a_frame_says_who_gave_its_places_and_whether_any_wait():
    row = row_of(coverage=np.full(240, 0.75), by_hand=np.full(240, 0.25), waiting_frames=(12,))
    assert row.coverage_text(11 / 240).splitlines() == [
        "Frame 11: 75% of the body's landmarks known",
        "Solid: placed by hand, 25%",
        "Striped: tracked, detected or bridged, 50%",
    ]
    assert "wait for you" in row.coverage_text(12 / 240)
    assert row_of().coverage_text(0.0) == "Frame 0: 0% of the body's landmarks known"


def test_columns_of_another_share_lie_where_the_rows_own_do():
    row = row_of(coverage=np.ones(240))
    by_hand = np.zeros(240)
    by_hand[100] = 1.0
    layout = layout_of(ScrubScene(rows=(row,)))
    columns = coverage_columns(row, layout, 700, by_hand)
    lit = np.flatnonzero(columns == 1.0)
    assert 0 < len(lit) <= 4
    assert np.array_equal(np.isnan(columns), np.isnan(coverage_columns(row, layout, 700)))
