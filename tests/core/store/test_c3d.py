from __future__ import annotations

import importlib.metadata
import sys
from dataclasses import replace
from pathlib import Path

import ezc3d
import numpy as np
import pytest

from deliverylab import __version__
from deliverylab.core.errors import (
    DeliveryLabError,
    InputValueError,
    NotFoundError,
    OutputError,
)
from deliverylab.core.store.c3d import read_c3d, write_c3d
from deliverylab.core.store.trajectories import NamedInstant, Trajectories

LABORATORY = "biomdp/tests/datasets/vicon_CMJ_kinem_kinet_emg.c3d"
"""A laboratory's jump in the package ``biomdp`` 0.11.2 (MIT licence), read by its path."""
SINGLE = 2.0**-24
"""Half a step of a number of single precision, against its size."""


def installed(path):
    files = importlib.metadata.files("biomdp") or []
    return next(file.locate() for file in files if file.as_posix() == path)


# ----------------------------------------------------------------------------- there and back


def test_what_is_written_is_read(thrown, c3d_path):
    again = read_c3d(c3d_path)
    assert again.labels == thrown.labels
    assert again.descriptions == thrown.descriptions
    assert again.axes == thrown.axes
    assert again.rate_hz == pytest.approx(thrown.rate_hz, rel=SINGLE)
    assert again.times_s == pytest.approx(thrown.times_s, rel=1e-7)
    np.testing.assert_allclose(again.points_m, thrown.points_m, rtol=SINGLE)
    # a byte has room for the farthest coordinate over 32000, here 0.1 mm; none becomes 0
    step_m = np.nanmax(np.abs(thrown.points_m)) / 32000.0
    np.testing.assert_allclose(again.residuals_m, thrown.residuals_m, atol=step_m)
    assert np.all(again.residuals_m[~np.isnan(again.residuals_m)] > 0.0)


def test_events_keep_their_clock_and_those_outside_are_left_out(thrown, c3d_path):
    found = read_c3d(c3d_path).events
    assert [event.name for event in found] == ["foot_contact", "release"]
    assert [event.description for event in found] == ["first touch of the front foot", ""]
    assert [event.time_s for event in found] == pytest.approx([0.6, 0.75], abs=1e-7)


def test_without_events_and_words(thrown, tmp_path):
    bare = replace(thrown, events=(), axes=(), descriptions=())
    again = read_c3d(write_c3d(tmp_path / "bare.c3d", bare))
    assert (again.events, again.axes, again.descriptions) == ((), (), ("",) * 4)


def test_more_labels_than_one_parameter_holds(tmp_path):
    labels = tuple(f"point_{number}" for number in range(300))
    many = Trajectories(
        labels=labels,
        rate_hz=60.0,
        points_m=np.arange(2700.0).reshape(3, 300, 3),
        residuals_m=np.zeros((3, 300)),
    )
    again = read_c3d(write_c3d(tmp_path / "many.c3d", many))
    assert again.labels == labels
    np.testing.assert_array_equal(again.points_m, many.points_m)


# ------------------------------------------------------------------------- as the format has it


def test_the_parameters_are_those_of_the_user_guide(c3d_path):
    parameters = ezc3d.c3d(str(c3d_path))["parameters"]
    assert parameters["POINT"]["UNITS"]["value"] == ["m"]
    assert parameters["POINT"]["X_SCREEN"]["value"] == ["+X"]
    assert parameters["POINT"]["Y_SCREEN"]["value"] == ["+Z"]
    assert parameters["MANUFACTURER"]["SOFTWARE"]["value"] == ["deliverylab"]
    assert parameters["MANUFACTURER"]["VERSION_LABEL"]["value"] == [__version__]
    event = parameters["EVENT"]
    assert event["USED"]["value"] == [2]
    # whole minutes and seconds since the first frame
    assert event["TIMES"]["value"] == pytest.approx(np.array([[0.0, 0.0], [0.2, 0.35]]), abs=1e-7)
    assert event["CONTEXTS"]["value"] == ["General", "General"]
    assert event["ICON_IDS"]["value"].tolist() == [0, 0]
    assert event["ICON_IDS"]["type"] == event["GENERIC_FLAGS"]["type"] == event["USED"]["type"]


def test_an_event_after_minutes(thrown, tmp_path):
    n = 100
    slow = replace(
        thrown,
        rate_hz=1.0,
        start_s=0.0,
        points_m=thrown.points_m[:n],
        residuals_m=thrown.residuals_m[:n],
        events=(NamedInstant("release", 61.5),),
    )
    path = write_c3d(tmp_path / "slow.c3d", slow)
    times = ezc3d.c3d(str(path))["parameters"]["EVENT"]["TIMES"]["value"]
    assert times.ravel().tolist() == [1.0, 1.5]
    assert read_c3d(path).events[0].time_s == 61.5


# ------------------------------------------------------------------- a laboratory's own file


@pytest.fixture(scope="module")
def jump():
    path = installed(LABORATORY)
    return read_c3d(path), ezc3d.c3d(str(path))


def test_a_laboratory_s_file_is_read_as_the_library_reads_it(jump):
    ours, record = jump
    theirs_mm = np.moveaxis(record["data"]["points"][:3], 0, -1).swapaxes(0, 1)
    assert ours.points_m.shape == (1600, 42, 3)
    np.testing.assert_array_equal(ours.points_m, 0.001 * theirs_mm)
    # four points without a name come and go
    missing = np.isnan(ours.points_m).any(axis=-1).sum(axis=0)
    gaps = {label: n for label, n in zip(ours.labels, missing.tolist(), strict=True) if n}
    assert gaps == {"*20": 804, "*21": 821, "*22": 1544, "*23": 1594}
    assert ours.labels == tuple(record["parameters"]["POINT"]["LABELS"]["value"])
    assert ours.rate_hz == 200.0
    assert ours.times_s[[0, -1]].tolist() == [0.0, 1599 / 200.0]
    # its points were filtered: residual 0 where known
    assert np.array_equal(np.isnan(ours.residuals_m), np.isnan(ours.points_m).any(axis=-1))
    assert np.nanmax(ours.residuals_m) == 0.0


def test_a_laboratory_s_file_comes_back_the_same(jump, tmp_path):
    ours, _ = jump
    again = read_c3d(write_c3d(tmp_path / "again.c3d", ours))
    np.testing.assert_allclose(again.points_m, ours.points_m, rtol=SINGLE)
    np.testing.assert_array_equal(again.residuals_m, ours.residuals_m)
    assert (again.labels, again.descriptions) == (ours.labels, ours.descriptions)
    assert (again.rate_hz, again.start_s, again.events) == (200.0, 0.0, ())


# --------------------------------------------------------------------------------- what fails


def test_a_missing_library_is_said(thrown, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "ezc3d", None)
    with pytest.raises(DeliveryLabError, match=r"deliverylab\[c3d\]"):
        write_c3d(tmp_path / "a.c3d", thrown)
    with pytest.raises(DeliveryLabError, match=r"deliverylab\[c3d\]"):
        read_c3d(tmp_path / "a.c3d")
    assert list(tmp_path.iterdir()) == []


def test_files_that_cannot_be_read(c3d_path, tmp_path):
    with pytest.raises(NotFoundError):
        read_c3d(tmp_path / "none.c3d")
    wrong = tmp_path / "wrong.c3d"
    for data in (b"", b"words " * 300, c3d_path.read_bytes()[:700]):
        wrong.write_bytes(data)
        with pytest.raises(InputValueError, match="no C3D file"):
            read_c3d(wrong)
    wrong.write_bytes(c3d_path.read_bytes()[:-2048])
    with pytest.raises(InputValueError, match=r"cut off: it holds \d+ of 240 frames"):
        read_c3d(wrong)


def test_a_file_without_points_or_unit(c3d_path, tmp_path):
    plates = Path(installed("biomdp/tests/datasets/kistler_COP.c3d"))
    with pytest.raises(InputValueError, match="POINT:UNITS"):
        read_c3d(plates)
    data = c3d_path.read_bytes()
    at = data.index(b"UNITS")
    wrong = tmp_path / "wrong.c3d"
    wrong.write_bytes(data[:at] + data[at:].replace(b"\x01m", b"\x01k", 1))
    with pytest.raises(InputValueError, match="unit of length is not known: k"):
        read_c3d(wrong)


def test_a_file_that_cannot_be_written(thrown, c3d_path):
    with pytest.raises(OutputError, match="cannot be written"):
        write_c3d(c3d_path.parent / "no folder" / "a.c3d", thrown)
    with pytest.raises(OutputError, match="no file that can be written over"):
        write_c3d(c3d_path.parent, thrown)
    assert list(c3d_path.parent.iterdir()) == [c3d_path]


def test_what_the_format_has_no_room_for_is_refused(thrown, tmp_path):
    path = tmp_path / "long.c3d"
    long = replace(thrown, points_m=np.ones((65536, 4, 3)), residuals_m=np.zeros((65536, 4)))
    with pytest.raises(InputValueError, match="65535 frames at most"):
        write_c3d(path, long)
    # 255 bytes, of which this letter takes two
    for wrong in (
        {"labels": ("a", "b", "c", 128 * "é")},
        {"axes": (256 * "x",)},
        {"events": (NamedInstant("release", 0.5, 256 * "x"),)},
    ):
        with pytest.raises(InputValueError, match="255 bytes at most"):
            write_c3d(path, replace(thrown, **wrong))
    assert not path.exists()
    at_most = replace(thrown, axes=(255 * "x", 127 * "é"))
    assert read_c3d(write_c3d(path, at_most)).axes == at_most.axes
