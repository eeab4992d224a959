from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.report.walkthrough_card import CardContent, StripMark, card, strip_x
from deliverylab.core.report.walkthrough_layout import SIZES, walk_layout
from deliverylab.core.report.walkthrough_style import GROUND, rgb
from deliverylab.core.report.walkthrough_words import NumberLine

LAYOUT = walk_layout()
NUMBERS = tuple(
    NumberLine(
        name=name, athlete="54° ± 2", model="37° ± 3", words="17° ± 3, more bent", is_clear=clear
    )
    for name, clear in (("Front knee bend", True), ("Upper body lean", False))
)
CONTENT = CardContent(
    title="Ana Lisboa",
    subtitle="compared with Bo",
    athlete="Ana Lisboa",
    model="Bo",
    span=(-20.0, 300.0),
    marks=(
        StripMark(phase=0.0, name="leg lift", weight=2),
        StripMark(phase=100.0, name="foot contact", weight=3),
        StripMark(phase=104.0, name="foot plant", weight=1),
        StripMark(phase=200.0, name="release", weight=3),
    ),
    chosen=1,
    caption="Front knee bend: more bent.",
    numbers=NUMBERS,
)


def _ink(picture, area):
    """Return where something is written in an area: rows and columns of the whole picture."""
    part = picture[area.top : area.bottom, area.left : area.right]
    ink = np.abs(part.astype(int) - np.array(rgb(GROUND))).max(axis=2) > 60
    rows, columns = np.nonzero(ink)
    return rows + area.top, columns + area.left


@pytest.mark.parametrize("size", SIZES.values())
@pytest.mark.parametrize(
    "content", [CONTENT, replace(CONTENT, is_still=False, running="to release")]
)
def test_nothing_is_written_where_the_pictures_will_stand(size, content):
    layout = walk_layout(size)
    picture = card(layout, content)
    assert picture.shape == (size[1], size[0], 3)
    for area in (layout.athlete, layout.model):
        assert len(_ink(picture, area)[0]) == 0
    for area in (layout.head, layout.strip, layout.words):
        assert len(_ink(picture, area)[0]) > 100
    edge = picture[:, : layout.head.left // 2]
    assert (edge == rgb(GROUND)).all()


def test_the_strip_gives_most_room_to_what_lies_between_the_events():
    xs = [strip_x(LAYOUT, CONTENT, phase) for phase in (-99, -20, 0, 100, 200, 300, 999)]
    left, width = LAYOUT.strip.left, LAYOUT.strip.width
    assert xs == sorted(xs)
    assert xs[0] == xs[1] == left
    assert xs[2] == pytest.approx(left + 0.06 * width, abs=1.0)
    assert xs[3] == pytest.approx(left + 0.5 * width, abs=1.0)
    assert xs[-2:] == pytest.approx([left + width] * 2)


def test_a_strip_without_events_is_even():
    bare = replace(CONTENT, marks=(), span=(0.0, 100.0))
    xs = [strip_x(LAYOUT, bare, phase) for phase in (0.0, 50.0, 100.0)]
    assert np.diff(xs) == pytest.approx([0.5 * LAYOUT.strip.width] * 2, rel=0.15)


def _names_row(content):
    picture = card(LAYOUT, content)
    band = LAYOUT.strip._replace(top=LAYOUT.strip.top + 40, height=30)
    return np.unique(_ink(picture, band)[1])


def test_names_that_would_touch_are_left_out_but_the_chosen_one_never():
    columns = _names_row(CONTENT)
    contact = strip_x(LAYOUT, CONTENT, 100.0)
    assert (np.abs(columns - contact) < 60).any()
    runs = np.split(columns, np.flatnonzero(np.diff(columns) > 30) + 1)
    assert len(runs) == 3, "foot plant has no room beside foot contact"
    chosen = _names_row(replace(CONTENT, chosen=2))
    widths = [np.ptp(run) for run in np.split(chosen, np.flatnonzero(np.diff(chosen) > 30) + 1)]
    assert widths[1] < np.ptp(runs[1]), "the shorter name stands there now"


def _caption_columns(caption):
    bare = replace(CONTENT, caption=caption, numbers=())
    return _ink(card(LAYOUT, bare), LAYOUT.words)


def test_a_caption_that_is_read_from_the_right_stands_at_the_right():
    rows, columns = _caption_columns("ברך קדמית כפופה יותר")
    assert columns.max() > LAYOUT.words.right - 20
    assert columns.min() > LAYOUT.words.left + 800
    _, latin = _caption_columns("Front knee bends more")
    assert latin.min() < LAYOUT.words.left + 20
    assert len(rows) > 300


def test_a_caption_of_other_letters_is_written():
    _, columns = _caption_columns("前膝がより曲がっている")
    _, unknown = _caption_columns("???????????")
    assert len(columns) > 1.5 * len(unknown)


def test_a_long_caption_stays_inside():
    long = "The front knee gives way and the upper body stays behind it all the way. " * 9
    for size in SIZES.values():
        layout = walk_layout(size)
        rows, columns = _ink(card(layout, replace(CONTENT, caption=long)), layout.words)
        assert rows.max() < layout.words.bottom - 1
        # the gap between caption and numbers stays free
        if not layout.is_upright:
            gap = layout.words.left + round(0.36 * layout.words.width) + 10
            assert not ((columns > gap) & (columns < gap + 20 * layout.unit)).any()


def test_long_names_do_not_run_into_each_other():
    name = "Maximiliana-Ekaterina van der Westhuizen-Przybyłowska de la Fuente y Montenegro III"
    content = replace(
        CONTENT, title=name, subtitle=f"compared with {name}", athlete=name, model=name
    )
    picture = card(LAYOUT, content)
    _, columns = _ink(picture, LAYOUT.head)
    assert columns.max() < LAYOUT.head.right
    assert (np.diff(np.unique(columns)) > 15).any(), "a gap between title and subtitle"


def test_what_runs_shows_what_the_lines_mean():
    running = replace(CONTENT, is_still=False, running="to release, 0.25 × real time")
    still, moving = card(LAYOUT, CONTENT), card(LAYOUT, running)
    assert (still != moving).any()
    amber = np.abs(moving.astype(int) - np.array([0xF2, 0xA5, 0x41])).max(axis=2) < 20
    assert amber.any()
