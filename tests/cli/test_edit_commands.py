from __future__ import annotations

import pytest

import deliverylab


def _camera(path, delivery="Ana 1"):
    return deliverylab.open_project(path).delivery(delivery).cameras[0]


@pytest.fixture
def bare(run, tmp_path):
    path = tmp_path / "bare.delivery"
    typed = ("--size", "1920x1080", "--frames", "100", "--rate", "50", "--hand", "left")
    assert run("new", path, "--delivery", "Ana 1", *typed)[0] == 0
    return path


# --------------------------------------------------------------------------------------- scale


def test_a_scale_is_set_with_all_its_parts(run, bare):
    status, out, err = run(
        *("scale", bare, "--delivery", "Ana 1", "--points", "100,500,400,900", "--length", "2.5"),
        *(
            "--vertical-deg",
            "-0.6",
            "--toward-plate",
            "left",
            "--distance",
            "8.5",
            "--yaw-deg",
            "2",
        ),
        *("--u-length", "1cm", "--u-point", "2", "--u-vertical-deg", "0.5", "--u-yaw-deg", "1.5"),
        *("--u-distance", "0.3", "--rubber", "110.5,505"),
    )
    assert (status, err) == (0, "")
    stood = "the camera 2° ± 3 off square, 8.5 m away; the plate is on the left"
    assert f"200.0 px a metre; {stood}" in out
    scale = _camera(bare).scale
    assert (scale.a, scale.b, scale.rubber) == ((100, 500), (400, 900), (110.5, 505))
    assert (scale.length_m, scale.u_length_m, scale.u_point_px) == (2.5, 0.01, 2.0)
    assert (scale.vertical_deg, scale.u_vertical_deg) == (-0.6, 0.5)
    assert (scale.distance_m, scale.u_distance_m) == (8.5, 0.3)
    assert (scale.yaw_deg, scale.u_yaw_deg, scale.toward_plate) == (2.0, 1.5, "left")


def test_a_scale_is_corrected_in_parts(run, bare):
    target = ("scale", bare, "--delivery", "Ana 1")
    status, _, err = run(*target, "--points", "100,500,400,900", "--length", "2.5")
    assert status == 0
    assert "without --distance" in err
    assert run(*target, "--distance", "9")[0] == 0
    scale = _camera(bare).scale
    assert (scale.a, scale.length_m, scale.distance_m) == ((100, 500), 2.5, 9.0)


@pytest.mark.parametrize(
    ("options", "status", "said"),
    [
        (("--length", "2"), 2, "a first scale needs --points and --length"),
        (("--points", "1,2,3", "--length", "2"), 2, "is not 4 numbers"),
        (("--points", "1,2,3,x", "--length", "2"), 2, "'x' is not a number"),
        (("--points", "1,2,3,4", "--length", "2"), 7, "too close together"),
        (("--points", "1,2,300,4", "--length", "99"), 7, "scale length cannot be true"),
        (("--points", "1,2,300,4", "--length", "2", "--vertical-deg", "60"), 7, "lean"),
        (("--camera", "rear", "--length", "2"), 6, "the cameras are: main"),
        (("--points", "1,2,3840,4", "--length", "2"), 7, "outside the picture (3840,4)"),
        (("--points=-9,2,300,4", "--length", "2"), 7, "main, 1920x1080"),
        (("--points", "-9,2,300,4", "--length", "2"), 7, "main, 1920x1080"),
        (("--points", "1,2,300,4", "--length", "2", "--rubber", "1e6,5"), 7, "outside"),
        (("--points", "1,2,300,4", "--length", "2", "--u-point", "1e300"), 2, "too large"),
    ],
)
def test_a_scale_that_cannot_be_is_refused(run, bare, options, status, said):
    before = bare.read_bytes()
    found, _, err = run("scale", bare, "--delivery", "Ana 1", *options)
    assert (found, said in err) == (status, True), err
    assert bare.read_bytes() == before


def test_an_unknown_delivery_is_named(run, bare):
    status, _, err = run("mark", bare, "--delivery", "Ben", "release=1")
    assert status == 6
    assert "no such delivery (Ben): the deliveries are: Ana 1" in err


# --------------------------------------------------------------------------------------- place


def test_positions_come_from_a_table_by_key_or_role(run, bare, tmp_path):
    table = tmp_path / "p.csv"
    table.write_text(
        "frame,landmark,x_px,y_px,u_px\n3,throwing_wrist,10,20,\n4,left_wrist,11,21,0.5\n"
        "3,lead_knee,5,6,\n",
        encoding="utf-8",
    )
    status, out, _ = run("place", bare, "--delivery", "Ana 1", table)
    assert (status, out) == (0, "Ana 1, main: 3 positions of 2 landmarks in 2 frames\n")
    camera = _camera(bare)
    # left-handed: the throwing arm is the left one, the lead leg the right one
    assert list(camera.tracks) == ["left_wrist", "right_knee"]
    assert camera.track("left_wrist").at(4) == (11.0, 21.0, 0.5, "imported")


def test_nothing_is_placed_when_a_row_is_bad(run, bare, tmp_path):
    before = bare.read_bytes()
    table = tmp_path / "p.csv"
    table.write_text(
        "frame,landmark,x_px,y_px\n3,ball,1,2\n100,ball,1,2\n4,wing,1,2\n", encoding="utf-8"
    )
    status, _, err = run("place", bare, "--delivery", "Ana 1", table)
    assert status == 7
    assert "2 rows cannot be used, so none was" in err
    assert "line 3: frame 100 is beyond the last, 99" in err
    assert "line 4: there is no landmark 'wing'" in err
    assert bare.read_bytes() == before
    assert run("place", bare, "--delivery", "Ana 1", tmp_path / "none.csv")[0] == 6


# ---------------------------------------------------------------------------------------- mark


def test_events_are_marked_moved_and_removed(run, bare):
    target = ("mark", bare, "--delivery", "Ana 1")
    status, out, err = run(*target, "leg_lift=0.1", "foot_contact=f50", "release=1.15")
    assert (status, err) == (0, "")
    assert "foot contact     1.0000 s  frame 50.0" in out
    status, out, _ = run(*target, "leg_lift=none", "release=1.16", "--u", "0.01")
    assert status == 0
    marks = _camera(bare).marks
    assert sorted(marks) == ["foot_contact", "release"]
    assert (marks["release"].time_s, marks["release"].u_s) == (1.16, 0.01)


@pytest.mark.parametrize(
    "mark", ["release=1.2", "Release=1,2", "release = +1.20s", "RELEASE=F60", "release=1.2S"]
)
def test_a_time_may_be_written_in_several_ways(run, bare, mark):
    assert run("mark", bare, "--delivery", "Ana 1", mark, "Foot-contact=f50")[0] == 0
    marks = {event: mark.time_s for event, mark in _camera(bare).marks.items()}
    assert marks == {"foot_contact": 1.0, "release": 1.2}


def test_suspected_slow_motion_is_noted(run, bare):
    _, _, err = run("mark", bare, "--delivery", "Ana 1", "foot_contact=0.5", "release=1.7")
    assert "slow motion" in err


@pytest.mark.parametrize(
    ("mark", "status", "said"),
    [
        ("release", 2, "write EVENT=1.310"),
        ("release=soon", 2, "write EVENT=1.310"),
        ("release=1e3", 2, "write EVENT=1.310"),
        ("jump=1", 6, "unknown event (jump)"),
        ("release=9", 7, "release lies outside the clip"),
        ("release=f100", 2, "frames run from f0 to f99"),
        ("leg-lift=0.2", 2, "marked twice (leg_lift)"),
        ("release=1,234,5", 2, "write EVENT=1.310"),
    ],
)
def test_a_mark_that_cannot_be_leaves_all_as_they_were(run, bare, mark, status, said):
    before = bare.read_bytes()
    found, _, err = run("mark", bare, "--delivery", "Ana 1", "leg_lift=0.1", mark)
    assert found == status
    assert said in err
    assert bare.read_bytes() == before


def test_a_moved_clip_is_found_again_and_another_one_refused(run, tmp_path):
    from fractions import Fraction

    import numpy as np

    from deliverylab.core.video.writer import write_clip

    clip, other = tmp_path / "a.mp4", tmp_path / "other.mp4"
    for path, shade in ((clip, 40), (other, 200)):
        picture = np.full((64, 96, 3), shade, np.uint8)
        write_clip(path, [picture] * 6, Fraction(30), crf=20, gop=6)
    project = tmp_path / "p.delivery"
    facts = ["--athlete", "Ana", "--hand", "left", "--height", "1.7", "--view", "rear"]
    assert run("new", project, "--delivery", "Ana 1", "--clip", clip, *facts)[0] == 0
    moved = tmp_path / "elsewhere" / "b.mp4"
    moved.parent.mkdir()
    clip.rename(moved)
    status, _, err = run("relink", project, "--delivery", "Ana 1", other)
    assert status == 3
    assert "another file" in err
    assert run("relink", project, "--delivery", "Ana 1", moved)[0] == 0
    assert _camera(project).clip.path == "elsewhere/b.mp4"
