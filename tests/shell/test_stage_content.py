from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.track import Position, Track
from deliverylab.shell import stage_content
from deliverylab.shell.drawing.annotations import AngleArc, Note
from tests.shell.conftest import SCALE, camera_of, delivery_of, figure_tracks


def result_of(metric="lead_knee_flexion", event="foot_contact", value=47.0, **fields) -> Result:
    return Result(
        delivery="Bo 1",
        metric=metric,
        event=event,
        name=metric,
        phase="foot contact",
        unit="deg",
        decimals=0,
        status="measured" if value is not None else "not_shown",
        value=value,
        u=2.0 if value is not None else None,
        camera=fields.pop("camera", "side"),
        **fields,
    )


def test_points_carry_their_origin_and_hidden_ones_no_place():
    tracks = {"left_knee": Track.of([(5, Position(10.5, 20.25, None, "tracked"))])}
    camera = camera_of(tracks=tracks, occluded={"left_toe": (5,)})
    points = stage_content.frame_points(camera, 5)
    assert points["left_knee"] == (10.5, 20.25, "tracked")
    assert points["left_toe"][2] == "hidden"
    assert set(points) == {"left_knee", "left_toe"}
    assert stage_content.frame_points(camera, 6) == {}


def test_the_angle_measured_at_the_event_is_drawn_at_its_joint():
    points = stage_content.frame_points(camera_of(tracks=figure_tracks([3])), 3)
    results = (
        result_of(),
        result_of(event="release"),
        result_of("drive_knee_flexion", value=None),
        result_of("elbow_flexion", camera="rear"),
    )
    (arc,) = stage_content.angle_arcs(results, "foot_contact", points, "right", "side", "metric")
    assert arc.text == "47° ± 4"
    assert arc.vertex == points["left_knee"][:2], "a right-hander leads with the left leg"
    (arc,) = stage_content.angle_arcs(results, "foot_contact", points, "left", "side", "metric")
    assert arc.vertex == points["right_knee"][:2]


def test_the_ground_is_where_the_feet_are():
    camera = camera_of(tracks=figure_tracks([3, 9]), scale=SCALE)
    assert stage_content.ground_y_px(camera) == 620.0
    assert stage_content.ground_y_px(camera_of()) is None


def test_the_scale_is_shown_in_the_readers_unit():
    camera = camera_of(scale=SCALE)
    assert stage_content.scale_line(camera, 0, "metric")[0].text == "1.50 m"
    assert stage_content.scale_line(camera, 0, "imperial")[0].text.endswith("in")
    assert stage_content.scale_line(camera_of(), 0, "metric") == ()


def test_a_scale_that_follows_from_solved_cameras_is_no_line_that_somebody_clicked():
    solved = msgspec.structs.replace(SCALE, is_solved=True)
    assert stage_content.scale_line(camera_of(scale=solved), 0, "metric") == ()


def test_the_body_is_framed_with_room_around_it_and_without_the_ball():
    tracks = figure_tracks([3, 9])
    tracks["ball"] = Track.of([(9, Position(1270.0, 30.0))])
    area = stage_content.body_area(camera_of(tracks=tracks))
    assert area.right() < 1000
    for key, track in tracks.items():
        if key != "ball":
            for x_px, y_px in track.xy_px:
                assert area.left() < x_px < area.right()
                assert area.top() < y_px < area.bottom()
    assert stage_content.body_area(camera_of()) is None


def test_the_facts_say_who_and_how_it_was_filmed():
    delivery = delivery_of("Kim 2", hand="left", scale=SCALE)
    text = stage_content.facts_text(delivery, delivery.camera(), is_mirrored=True, system="metric")
    assert text == "left-handed, drawn mirrored · open side · 240 a second · from 10.0 m"
    renamed = msgspec.structs.replace(delivery, name="third visit")
    text = stage_content.facts_text(renamed, delivery.camera(), is_mirrored=False, system="metric")
    assert text.endswith(" · Kim")
    slow = msgspec.structs.replace(delivery.camera().timing, capture_rate_hz=480.0)
    camera = msgspec.structs.replace(delivery.camera(), timing=slow, scale=None)
    text = stage_content.facts_text(delivery, camera, is_mirrored=False, system="metric")
    assert text == "left-handed · open side · 480 a second"


@pytest.mark.parametrize(("key", "name"), [("foot_contact", "foot contact"), ("", "")])
def test_events_have_names(key, name):
    assert stage_content.event_name(key) == name


def test_a_partner_laid_over_has_its_hips_and_size_in_common():
    own = delivery_of("Bo 1", tracks=figure_tracks([3]), scale=SCALE)
    # the same figure, twice as large and elsewhere in its picture
    large = {
        key: Track.of(
            (frame, Position(2.0 * x - 300.0, 2.0 * y - 80.0)) for frame, (x, y, *_) in track
        )
        for key, track in figure_tracks([3]).items()
    }
    doubled = msgspec.structs.replace(SCALE, length_m=SCALE.length_m / 2.0)
    other = delivery_of("Kim", tracks=large, scale=doubled)
    points = stage_content.laid_over(own, own.camera(), 3, other, other.camera(), 3)
    expected = stage_content.frame_points(own.camera(), 3)
    for key, place in expected.items():
        assert points[key][:2] == pytest.approx(place[:2])


def test_a_left_hander_laid_over_a_right_hander_is_turned_round():
    own = delivery_of("Bo 1", tracks=figure_tracks([3]), scale=SCALE)
    other = delivery_of("Kim", hand="left", tracks=figure_tracks([3]), scale=SCALE)
    points = stage_content.laid_over(own, own.camera(), 3, other, other.camera(), 3)
    plain = stage_content.frame_points(own.camera(), 3)
    hips = 0.5 * (plain["left_hip"][0] + plain["right_hip"][0])
    assert points["left_toe"][0] == pytest.approx(2.0 * hips - plain["left_toe"][0])
    assert points["left_toe"][1] == pytest.approx(plain["left_toe"][1])


def test_without_a_scale_or_hips_nothing_is_laid_over():
    own = delivery_of("Bo 1", tracks=figure_tracks([3]), scale=SCALE)
    bare = delivery_of("Kim", tracks=figure_tracks([3]))
    assert stage_content.laid_over(own, own.camera(), 3, bare, bare.camera(), 3) == {}
    empty = delivery_of("Kim", scale=SCALE)
    assert stage_content.laid_over(own, own.camera(), 3, empty, empty.camera(), 3) == {}


@pytest.mark.parametrize("camera", ["side", "rear"])
def test_an_angle_in_space_is_an_arc_only_where_the_picture_shows_it(camera):
    points = stage_content.frame_points(camera_of(tracks=figure_tracks([3])), 3)
    (seen,) = stage_content.angle_arcs(
        (result_of(camera=camera),), "foot_contact", points, "right", camera, "metric"
    )
    shown_deg = stage_content._seen_flexion_deg(seen)

    def drawn(value):
        # results in space bear the first camera's name, and are shown in every clip
        results = (result_of(value=value, view="space"),)
        return stage_content.angle_arcs(results, "foot_contact", points, "right", camera, "metric")

    assert isinstance(drawn(shown_deg + 3.0)[0], AngleArc)
    (note,) = drawn(shown_deg + 30.0)
    assert isinstance(note, Note)
    assert note.text.endswith("in space")
    assert note.at == seen.vertex
    for x, y in (seen.arm_a, seen.arm_b):
        limb = (x - note.at[0], y - note.at[1])
        assert limb[0] * note.away[0] + limb[1] * note.away[1] <= 1e-9, "away from both limbs"


def test_an_estimated_angle_is_no_arc_and_says_so():
    points = stage_content.frame_points(camera_of(tracks=figure_tracks([3])), 3)
    estimated = msgspec.structs.replace(result_of(), status="estimated")
    (note,) = stage_content.angle_arcs(
        (estimated,), "foot_contact", points, "right", "side", "metric"
    )
    assert isinstance(note, Note)
    assert note.text == "≈ 47° ± 4, estimated"


def test_a_straight_joint_is_seen_as_zero_and_a_right_angle_as_one():
    straight = AngleArc(vertex=(1.0, 1.0), arm_a=(0.0, 0.0), arm_b=(3.0, 3.0), text="")
    bent = AngleArc(vertex=(0.0, 0.0), arm_a=(-1.0, 0.0), arm_b=(0.0, 2.0), text="")
    assert stage_content._seen_flexion_deg(straight) == pytest.approx(0.0)
    assert stage_content._seen_flexion_deg(bent) == pytest.approx(90.0)
