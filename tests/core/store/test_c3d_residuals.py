from __future__ import annotations

import struct
from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.store.c3d import read_c3d, write_c3d
from deliverylab.core.store.c3d_residuals import residuals_of

SINGLE = 2.0**-24
"""Half a step of a number of single precision, against its size."""


def test_a_large_residual_widens_the_step(thrown, tmp_path):
    residuals = thrown.residuals_m.copy()
    residuals[5, 1] = 0.5
    again = read_c3d(write_c3d(tmp_path / "far.c3d", replace(thrown, residuals_m=residuals)))
    assert again.residuals_m[5, 1] == pytest.approx(0.5, rel=1e-6)
    np.testing.assert_allclose(again.residuals_m, residuals, atol=0.5 / 255.0)


def test_a_point_without_a_residual_is_one_that_was_worked_out(thrown, tmp_path):
    unknown = replace(thrown, residuals_m=np.full_like(thrown.residuals_m, np.nan))
    again = read_c3d(write_c3d(tmp_path / "worked.c3d", unknown))
    known = np.isfinite(thrown.points_m[..., 0])
    assert np.all(again.residuals_m[known] == 0.0)
    assert np.all(np.isnan(again.residuals_m[~known]))


def test_the_bytes_are_those_of_the_user_guide(thrown, c3d_path):
    data = c3d_path.read_bytes()
    parameter_block, key, n_points, n_analog, first, last = struct.unpack_from("<BB4H", data)
    assert (key, n_points, n_analog, first, last) == (80, 4, 0, 1, 240)
    assert data[512 * (parameter_block - 1) + 3] == 84  # numbers begin with their low byte
    scale, block, _, rate_hz = struct.unpack_from("<fHHf", data, 12)
    assert scale == pytest.approx(-np.nanmax(np.abs(thrown.points_m)) / 32000.0)
    assert rate_hz == pytest.approx(239.76)
    words = np.frombuffer(data, "<f4", 240 * 16, 512 * (block - 1)).reshape(240, 4, 4)
    # metres, not in steps of the scale
    np.testing.assert_allclose(words[0, 0, :3], thrown.points_m[0, 0], rtol=SINGLE)
    # the fourth: residual in the low byte in steps of the scale, cameras in the high one
    fourth = words[..., 3].astype(int)
    assert np.all(fourth[20:31, 2] == -1)
    assert np.all(words[20:31, 2, :3] == 0.0)
    assert fourth[0, 0] & 0xFF == pytest.approx(thrown.residuals_m[0, 0] / -scale, abs=0.5)
    assert np.all(fourth <= 0xFF)  # no camera named: the points were smoothed


def test_cameras_in_the_high_byte_do_not_disturb(thrown, c3d_path):
    data = bytearray(c3d_path.read_bytes())
    before = read_c3d(c3d_path).residuals_m
    (block,) = struct.unpack_from("<H", data, 16)
    words = np.ndarray((240, 4, 4), "<f4", data, 512 * (block - 1))
    words[words[..., 3] >= 0.0, 3] += 0x0300  # seen by the first two cameras
    c3d_path.write_bytes(data)
    np.testing.assert_array_equal(read_c3d(c3d_path).residuals_m, before)


def test_floating_point_numbers_of_another_machine_tell_no_residual(thrown, c3d_path):
    data = bytearray(c3d_path.read_bytes())
    data[512 * (data[0] - 1) + 3] = 85
    as_read = np.where(np.isnan(thrown.residuals_m), -1.0, 7.0)
    found = residuals_of(bytes(data), -0.001, as_read)
    np.testing.assert_array_equal(found, np.where(as_read < 0.0, -1.0, np.nan))


def test_whole_numbers_and_another_first_frame(tmp_path):
    # Made here byte by byte: 2 frames of one point in steps of 0.5 mm, the first being number 51.
    path = tmp_path / "whole.c3d"
    path.write_bytes(_whole_number_file())
    found = read_c3d(path)
    assert found.labels == ("knee",)
    assert found.rate_hz == 50.0
    assert found.times_s.tolist() == [1.0, 1.02]
    np.testing.assert_allclose(found.points_m[0, 0], [0.1, -0.2, 0.3], rtol=1e-6)
    assert np.all(np.isnan(found.points_m[1, 0]))
    assert found.residuals_m[0, 0] == pytest.approx(0.002)  # 4 steps
    assert np.isnan(found.residuals_m[1, 0])


def _whole_number_file():
    def entry(group, name, payload, *, is_last=False):
        body = bytes([len(name), group & 0xFF]) + name.encode()
        return body + struct.pack("<h", 0 if is_last else len(payload) + 2) + payload

    def text(value):
        return bytes([0xFF, 2, len(value), 1]) + value.encode() + b"\0"

    def whole(value):
        return bytes([2, 0]) + struct.pack("<h", value) + b"\0"

    def real(value):
        return bytes([4, 0]) + struct.pack("<f", value) + b"\0"

    parameters = entry(-1, "POINT", b"\0")
    for name, payload in {
        "USED": whole(1),
        "SCALE": real(0.5),
        "RATE": real(50.0),
        "DATA_START": whole(3),
        "FRAMES": whole(2),
        "LABELS": text("knee"),
        "DESCRIPTIONS": text("side"),
        "UNITS": text("mm"),
    }.items():
        parameters += entry(1, name, payload)
    parameters += entry(-2, "ANALOG", b"\0")
    parameters += entry(2, "USED", whole(0), is_last=True)
    header = struct.pack("<BB5HfHHf", 2, 80, 1, 0, 51, 52, 0, 0.5, 3, 0, 50.0)
    data = struct.pack("<8h", 200, -400, 600, 4, 0, 0, 0, -1)
    parts = (header, bytes([1, 80, 1, 84]) + parameters, data)
    return b"".join(part.ljust(512, b"\0") for part in parts)
