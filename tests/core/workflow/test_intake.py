from __future__ import annotations

from fractions import Fraction

import pytest

from deliverylab.core.errors import ClipError, InputValueError, NotFoundError, UsageError
from deliverylab.core.model.project import Project
from deliverylab.core.video.writer import write_clip
from deliverylab.core.workflow.intake import (
    AthleteFacts,
    athlete_for,
    camera_from_clip,
    camera_without_clip,
    delivery_change,
)
from tests.core.workflow.conftest import N_FRAMES, pictures


def _typed(name="main"):
    return camera_without_clip(
        width_px=1920, height_px=1080, n_frames=100, rate="240", view="open-side", name=name
    )


@pytest.fixture
def project():
    project = Project()
    facts = AthleteFacts(name="Ana", hand="left", height_m=1.8, mass_kg=70.0)
    project.apply(delivery_change(project.record, name="one", camera=_typed(), facts=facts))
    return project


# ------------------------------------------------------------------------------------- cameras


def test_a_clip_tells_its_size_rate_and_frames(clip, tmp_path):
    camera, report = camera_from_clip(clip, project_path=tmp_path / "a.delivery", view="open-side")
    assert (camera.name, camera.view) == ("main", "open-side")
    assert (camera.width_px, camera.height_px) == (64, 48)
    assert camera.timing.n_frames == report.index.n_frames == N_FRAMES
    assert camera.timing.stored_rate == "30000/1001"
    assert camera.timing.stamps_s is None
    assert camera.timing.capture_rate_hz is None
    assert camera.clip.size_bytes == clip.stat().st_size


def test_frame_times_are_the_clips_own(clip):
    camera, report = camera_from_clip(clip, project_path=None, view="rear")
    assert camera.timing.times_s == pytest.approx(report.index.times_s, abs=1e-4)


def test_uneven_stamps_are_kept(tmp_path):
    stamps = [0, 40, 80, 125, 160, 240, 280]
    path = write_clip(
        tmp_path / "uneven.mkv",
        pictures(len(stamps)),
        25,
        stamps=stamps,
        time_base=Fraction(1, 1000),
    )
    camera, _ = camera_from_clip(path, project_path=None, view="rear")
    assert camera.timing.stamps_s == pytest.approx([stamp / 1000 for stamp in stamps])


def test_repeated_frames_are_noted(tmp_path):
    frames = pictures(20)
    frames[5], frames[12] = frames[4], frames[11]
    path = write_clip(tmp_path / "repeats.mp4", frames, 30)
    camera, _ = camera_from_clip(path, project_path=None, view="rear")
    assert camera.duplicate_frames == (5, 12)
    hurried, _ = camera_from_clip(path, project_path=None, view="rear", look_for_duplicates=False)
    assert hurried.duplicate_frames == ()


def test_a_single_picture_is_a_clip_of_one_frame(tmp_path):
    path = write_clip(tmp_path / "one.mp4", pictures(1), 30)
    camera, _ = camera_from_clip(path, project_path=None, view="rear")
    assert (camera.timing.n_frames, camera.timing.stored_rate) == (1, "30")


def test_the_capture_rate_is_what_was_said(clip):
    camera, _ = camera_from_clip(clip, project_path=None, view="rear", capture_rate_hz=240.0)
    assert camera.timing.true_rate_hz == 240.0


def test_the_capture_rate_that_the_camera_wrote_into_slow_motion_is_taken(tmp_path):
    path = write_clip(
        tmp_path / "slow.mov",
        pictures(),
        30,
        metadata={
            "com.apple.quicktime.full-frame-rate-playback-intent": "0",
            "com.android.capture.fps": "240",
        },
        options={"movflags": "use_metadata_tags"},
    )
    camera, report = camera_from_clip(path, project_path=None, view="rear")
    assert report.index.stated_capture_rate_hz == 240.0
    assert camera.timing.true_rate_hz == 240.0


def test_what_is_no_clip_or_view_is_refused(clip, tmp_path):
    with pytest.raises(ClipError):
        camera_from_clip(tmp_path / "none.mp4", project_path=None, view="rear")
    with pytest.raises(NotFoundError, match="unknown view"):
        camera_from_clip(clip, project_path=None, view="roof")


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"width_px": 0}, "width and a height"),
        ({"n_frames": 0}, "at least one frame"),
        ({"rate": "fast"}, "stored rate"),
        ({"view": "roof"}, "unknown view"),
    ],
)
def test_a_camera_without_a_clip_needs_sense(change, said):
    facts = {"width_px": 640, "height_px": 480, "n_frames": 10, "rate": "60", "view": "rear"}
    assert camera_without_clip(**facts).clip is None
    with pytest.raises((InputValueError, NotFoundError), match=said):
        camera_without_clip(**(facts | change))


# ---------------------------------------------------------------------------------- deliveries


def test_a_new_delivery_takes_the_athletes_facts_from_an_earlier_one(project):
    athlete = athlete_for(AthleteFacts(name="Ana", mass_kg=72.0), project.record, "two")
    assert (athlete.hand, athlete.height_m, athlete.mass_kg) == ("left", 1.8, 72.0)
    stranger = athlete_for(AthleteFacts(), project.record, "two")
    assert (stranger.name, stranger.hand, stranger.height_m) == ("two", "right", None)


def test_a_further_camera_joins_an_existing_delivery(project):
    change = delivery_change(project.record, name="one", camera=_typed("rear"))
    inverse = project.apply(change)
    assert [camera.name for camera in project.delivery("one").cameras] == ["main", "rear"]
    project.apply(inverse)
    assert [camera.name for camera in project.delivery("one").cameras] == ["main"]


def test_new_facts_come_with_the_further_camera(project):
    project.apply(
        delivery_change(
            project.record,
            name="one",
            camera=_typed("rear"),
            facts=AthleteFacts(height_m=1.82),
            ball_speed_m_s=35.0,
            date="2026-05-01",
        )
    )
    delivery = project.delivery("one")
    assert (delivery.athlete.name, delivery.athlete.height_m) == ("Ana", 1.82)
    assert (delivery.ball_speed_m_s, delivery.date) == (35.0, "2026-05-01")
    assert len(delivery.cameras) == 2


def test_an_existing_camera_is_not_replaced(project):
    with pytest.raises(UsageError, match="name the new camera"):
        delivery_change(project.record, name="one", camera=_typed())


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ({"name": " "}, "delivery needs a name"),
        ({"camera": _typed(" ")}, "camera needs a name"),
        ({"ball_speed_m_s": 85.0}, "metres a second"),
        ({"facts": AthleteFacts(height_m=180.0)}, "height cannot be"),
    ],
)
def test_what_cannot_be_is_refused(project, arguments, said):
    with pytest.raises(InputValueError, match=said):
        delivery_change(project.record, **({"name": "new", "camera": _typed()} | arguments))
