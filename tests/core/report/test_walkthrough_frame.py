from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.compare.difference import differences
from deliverylab.core.model.walkthrough import Drawing, Stop, Walkthrough
from deliverylab.core.report.figures import points_at
from deliverylab.core.report.walkthrough_frame import MOST_CARDS, draw_frame, prepared_walk
from deliverylab.core.report.walkthrough_layout import walk_layout
from deliverylab.core.report.walkthrough_style import HAND, NAME, STAGE, THROWING, rgb

replace = msgspec.structs.replace
STOPS = (
    Stop(event="leg_lift", pause_s=0.2, caption="Here it begins."),
    Stop(event="release", pause_s=0.2, caption="The ball leaves."),
)


@pytest.fixture(scope="module")
def found(athlete, model):
    return differences(athlete, model)


@pytest.fixture(scope="module")
def walk(athlete, model, found):
    script = Walkthrough(pair=(athlete.name, model.name), stops=STOPS)
    return prepared_walk(script, athlete, model, walk_layout(), found)


def _still(walk, number):
    return next(cue for cue in walk.cues if cue.stop == number)


def _picture(shade=120):
    return np.full((720, 1280, 3), shade, np.uint8)


def _part(picture, area):
    return picture[area.top : area.bottom, area.left : area.right]


def test_hands_that_differ_are_mirrored_and_said(walk):
    assert walk.is_turned
    assert walk.names == ("Noor V.", "College means, mirrored")
    assert [place.is_mirrored for place in walk.places] == [False, True]


def test_both_bodies_move_the_same_way(walk):
    first, last = walk.cues[0], walk.cues[-1]
    for number, frames in enumerate(
        ((first.athlete_frame, last.athlete_frame), (first.model_frame, last.model_frame))
    ):
        camera = (walk.pair.camera_a, walk.pair.camera_b)[number]
        starts, ends = (
            walk.places[number].to_picture(*points_at(camera, frame)["left_hip"])
            for frame in frames
        )
        # a left-hander seen from the open side throws to the left
        assert ends[0] < starts[0] - 50


def test_a_skeleton_stands_on_its_landmarks(walk):
    cue = _still(walk, 1)
    part = _part(draw_frame(walk, cue, (_picture(), _picture())), walk.layout.athlete)
    points = points_at(walk.pair.camera_a, cue.athlete_frame)
    # the throwing side of a left-hander: between elbow and wrist the line is amber, to a pixel
    ends = [walk.places[0].to_picture(*points[key]) for key in ("left_shoulder", "left_elbow")]
    x, y = np.mean(ends, axis=0)
    along = np.subtract(*ends) / np.linalg.norm(np.subtract(*ends))
    across = np.array([-along[1], along[0]])
    seen = [
        step
        for step in np.arange(-8.0, 8.1, 0.5)
        if np.abs(
            part[round(y + step * across[1]), round(x + step * across[0])].astype(int)
            - np.array(rgb(THROWING))
        ).max()
        < 60
    ]
    assert np.mean(seen) == pytest.approx(0.0, abs=0.8)


def test_while_it_stands_still_the_picture_is_the_same(walk):
    cues = [cue for cue in walk.cues if cue.stop == 0]
    assert len(cues) == 6
    both = (_picture(), _picture())
    assert (draw_frame(walk, cues[0], both) == draw_frame(walk, cues[-1], both)).all()


def test_the_clips_picture_is_shown(walk):
    bright, dark = _picture(200), _picture(60)
    drawn = draw_frame(walk, _still(walk, 0), (bright, dark))
    assert np.median(_part(drawn, walk.layout.athlete)) == 200
    assert np.median(_part(drawn, walk.layout.model)) == 60


def test_without_a_picture_the_skeleton_stands_on_plain_ground_and_it_is_said(walk):
    drawn = draw_frame(walk, _still(walk, 0), (None, _picture()))
    part = _part(drawn, walk.layout.athlete)
    assert (np.median(part.reshape(-1, 3), axis=0) == rgb(STAGE)).all()
    other = _part(draw_frame(walk, _still(walk, 0), (_picture(), None)), walk.layout.athlete)
    name = walk.label(walk.names[False], NAME)
    below = np.s_[name.shape[0] : name.shape[0] + 20, :200]
    assert part[below].max() > 140, "words below the name"
    assert (other[below] == 120).all()


def test_what_is_said_at_a_stop_is_not_said_while_it_runs(walk):
    words = walk.layout.words
    both = (_picture(), _picture())
    running = next(cue for cue in walk.cues if cue.next_stop == 1 and cue.stop is None)
    at_stop = _part(draw_frame(walk, _still(walk, 1), both), words)
    assert (at_stop != _part(draw_frame(walk, running, both), words)).any()
    assert (at_stop != _part(draw_frame(walk, _still(walk, 0), both), words)).any()


def test_the_playhead_goes_with_the_phase(walk):
    strip = walk.layout.strip
    xs = []
    for cue in (walk.cues[0], _still(walk, 0), _still(walk, 1)):
        part = _part(draw_frame(walk, cue, (None, None)), strip)[:14]
        xs.append(np.nonzero(part.max(axis=2) > 200)[1].mean())
    assert xs == sorted(xs)
    assert xs[2] - xs[1] > 0.8 * 0.88 * strip.width


def _with_drawing(walk, side):
    drawing = Drawing(side=side, kind="line", points_px=((600.0, 200.0), (700.0, 200.0)))
    stops = (replace(STOPS[0], drawings=(drawing,)), STOPS[1])
    made = replace(walk.script, stops=stops)
    return prepared_walk(made, walk.pair.a, walk.pair.b, walk.layout, walk.differences)


@pytest.mark.parametrize("side", ["athlete", "model"])
def test_a_drawing_is_shown_on_its_side_at_its_stop(walk, side):
    drawn_on = _with_drawing(walk, side)
    for number, n_least in ((0, 300), (1, 0)):
        picture = draw_frame(drawn_on, _still(drawn_on, number), (_picture(), _picture()))
        for area, name in ((walk.layout.athlete, "athlete"), (walk.layout.model, "model")):
            yellow = np.abs(_part(picture, area).astype(int) - np.array(rgb(HAND))).max(axis=2) < 12
            expected = name == side and n_least > 0
            assert (np.count_nonzero(yellow) >= 300) == expected


def test_measurements_are_drawn_with_their_numbers(walk, athlete, model, found):
    chosen = (("trunk_forward_tilt", "release"), ("lead_knee_flexion", "release"))
    pictures = []
    for metrics in (chosen, ()):
        stops = (replace(STOPS[1], metrics=metrics),)
        made = prepared_walk(replace(walk.script, stops=stops), athlete, model, walk.layout, found)
        pictures.append(draw_frame(made, _still(made, 0), (_picture(), _picture())))
    with_marks, plain = pictures
    for area in (walk.layout.athlete, walk.layout.model):
        n_changed = np.count_nonzero((_part(with_marks, area) != _part(plain, area)).any(axis=2))
        assert n_changed > 2000


def test_a_stop_at_a_phase_says_so(athlete, model, found):
    script = Walkthrough(pair=(athlete.name, model.name), stops=(Stop(phase=50.0, pause_s=0.1),))
    walk = prepared_walk(script, athlete, model, walk_layout((1280, 720)), found)
    cue = _still(walk, 0)
    assert draw_frame(walk, cue, (None, None)).shape == (720, 1280, 3)
    assert walk.content(cue).chosen is None
    assert walk.content(walk.cues[0]).running == "0.25 × real time"


def test_what_comes_next_is_named(walk):
    assert walk.content(walk.cues[0]).running == "to leg lift, 0.25 × real time"
    assert walk.content(walk.cues[-1]).running == "0.25 × real time"
    content = walk.content(_still(walk, 1))
    assert content.caption == "The ball leaves."
    assert content.marks[content.chosen].name == "release"
    assert content.subtitle == "compared with College means, 14\u00a0May\u00a02026"


def test_views_that_differ_are_named(walk, athlete, model, found):
    rear = replace(model, cameras=(replace(model.cameras[0], view="rear"),))
    other = prepared_walk(walk.script, athlete, rear, walk.layout, found)
    assert other.names == ("Noor V., open side", "College means, rear")


def test_a_long_script_does_not_keep_all_its_cards(athlete, model, found):
    stops = tuple(Stop(phase=10.0 * n, pause_s=0.2, metrics=()) for n in range(MOST_CARDS + 2))
    script = Walkthrough(pair=(athlete.name, model.name), stops=stops)
    long = prepared_walk(script, athlete, model, walk_layout((640, 360)), found)
    cues = {(cue.stop, cue.next_stop): cue for cue in long.cues}
    first = long.card(next(iter(cues.values())))
    assert len(cues) > MOST_CARDS
    for cue in cues.values():
        long.card(cue)
    assert len(long._cards) == MOST_CARDS
    # one that is asked for again is drawn again, as it was
    np.testing.assert_array_equal(long.card(next(iter(cues.values()))), first)
