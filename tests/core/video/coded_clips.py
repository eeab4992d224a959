"""Clips of every kind whose frames carry their own number as blocks of light and dark."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

WIDTH_PX, HEIGHT_PX, N_FRAMES = 128, 96, 48
_BLOCK_PX = 32
_RED, _GREEN, _BLUE = (220, 30, 30), (30, 200, 30), (30, 30, 220)
_DARK, _LIGHT = 40, 215


def coded_picture(number: int, width_px: int = WIDTH_PX) -> NDArray[np.uint8]:
    """Draw a number below 256: 4 x 3 blocks, three coloured corners, eight bits, one grey block."""
    blocks = np.full((3, 4, 3), 128, np.uint8)
    blocks[0, 0], blocks[0, 3], blocks[2, 0] = _RED, _GREEN, _BLUE
    bits = [_LIGHT if number >> bit & 1 else _DARK for bit in range(8)]
    blocks[0, 1:3] = np.array(bits[:2])[:, None]
    blocks[1, :] = np.array(bits[2:6])[:, None]
    blocks[2, 1:3] = np.array(bits[6:])[:, None]
    tall = np.repeat(blocks, _BLOCK_PX, axis=0)
    return np.repeat(tall, width_px // 4, axis=1)


def read_code(picture: NDArray[np.uint8]) -> int:
    """Read the number back, after checking size and corners; -1 if the picture is not upright."""
    if picture.shape != (HEIGHT_PX, WIDTH_PX, 3) or not picture.flags.c_contiguous:
        return -1
    cells = picture.reshape(3, _BLOCK_PX, 4, _BLOCK_PX, 3)[:, 8:24, :, 8:24].mean(axis=(1, 3))
    corners = cells[[0, 0, 2], [0, 3, 0]]
    if corners.argmax(axis=1).tolist() != [0, 1, 2] or corners.max(axis=1).min() < 150:
        return -1
    bits = np.concatenate([cells[0, 1:3], cells[1], cells[2, 1:3]]).mean(axis=1) > 128
    return int(sum(1 << bit for bit, is_set in enumerate(bits) if is_set))


def coded_frames(n_frames: int = N_FRAMES) -> Iterator[NDArray[np.uint8]]:
    """Yield the pictures of frames 0, 1, ..."""
    return (coded_picture(number) for number in range(n_frames))


def _uneven_stamps() -> list[int]:
    spacings = np.random.default_rng(5).choice([300, 375, 380, 700, 1500], N_FRAMES - 1)
    return [0, *np.cumsum(spacings).tolist()]


def _turned(quarter_turns: int) -> Iterator[NDArray[np.uint8]]:
    """Store pictures so that they are upright after that many clockwise quarter turns."""
    return (np.ascontiguousarray(np.rot90(picture, quarter_turns)) for picture in coded_frames())


_X264 = {"preset": "veryfast", "x264-params": "scenecut=0"}
_OPEN_GOP = {"preset": "veryfast", "x264-params": "scenecut=0:open-gop=1:bframes=3"}
_X265 = {"preset": "ultrafast", "x265-params": "log-level=none:bframes=3:pools=1:frame-threads=1"}
_TICKS = Fraction(1, 90_000)

# kind -> (file ending, pictures, arguments of write_clip)
KINDS: dict[str, tuple[str, Callable[[], Iterator[NDArray[np.uint8]]], dict[str, object]]] = {
    "h264-b-frames-long": ("mp4", coded_frames, {"gop": 240, "n_b_frames": 3, "options": _X264}),
    "h264-short": ("mkv", coded_frames, {"gop": 7, "n_b_frames": 2, "options": _X264}),
    "h264-open": ("mp4", coded_frames, {"gop": 10, "options": _OPEN_GOP}),
    "hevc": ("mp4", coded_frames, {"gop": 12, "codec": "libx265", "options": _X265}),
    "hevc-10-bit": (
        "mkv",
        coded_frames,
        {"gop": 12, "codec": "libx265", "pix_fmt": "yuv420p10le", "options": _X265},
    ),
    "vp9": (
        "webm",
        coded_frames,
        {"gop": 20, "codec": "libvpx-vp9", "options": {"deadline": "realtime", "cpu-used": "8"}},
    ),
    "mjpeg": ("avi", coded_frames, {"codec": "mjpeg", "pix_fmt": "yuvj420p"}),
    "mpeg4-avi": ("avi", coded_frames, {"codec": "mpeg4", "crf": None, "n_b_frames": 2, "gop": 12}),
    "ts": ("ts", coded_frames, {"gop": 15, "n_b_frames": 2, "options": _X264}),
    "ts-open": ("ts", coded_frames, {"gop": 10, "options": _OPEN_GOP}),
    "variable-rate": (
        "mp4",
        coded_frames,
        {
            "gop": 24,
            "n_b_frames": 2,
            "options": _X264,
            "time_base": _TICKS,
            "stamps": _uneven_stamps(),
        },
    ),
    "shifted-start": (
        "mkv",
        coded_frames,
        {
            "gop": 24,
            "n_b_frames": 2,
            "options": _X264,
            "time_base": Fraction(1, 1000),
            "stamps": [7_350 + 10 * frame for frame in range(N_FRAMES)],
        },
    ),
    "turned-90": (
        "mp4",
        lambda: _turned(1),
        {"gop": 24, "rotation_deg": 90, "options": _X264},
    ),
    "turned-180": (
        "mov",
        lambda: _turned(2),
        {"gop": 24, "rotation_deg": 180, "options": _X264},
    ),
    "turned-270": (
        "mp4",
        lambda: _turned(3),
        {"gop": 24, "rotation_deg": 270, "options": _X264},
    ),
}
