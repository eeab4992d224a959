"""Clips of a moving figure of blobs, with things done to their time that phones and programs do."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from itertools import pairwise
from pathlib import Path

import cv2
import numpy as np

from deliverylab.core.video.index import build_index
from deliverylab.core.video.reader import FrameReader
from deliverylab.core.video.writer import write_clip

EXAMPLES = Path(__file__).resolve().parents[3] / "examples" / "clips"
SIZE = (180, 320)


class Scene:
    """Textured blobs that swing before a textured ground, faster and slower as a thrower does."""

    def __init__(self, rng):
        height, width = SIZE
        rough = rng.integers(60, 140, (height // 6, width // 6, 3), dtype=np.uint8)
        self.ground = cv2.resize(rough, (width, height), interpolation=cv2.INTER_CUBIC)
        self.speed = rng.uniform(0.7, 1.3)
        self.blobs = [
            (
                rng.uniform(0.25, 0.75, 2) * (width, height),
                rng.uniform(15, 60, 2),
                rng.uniform(0.6, 1.6, 2),
                rng.uniform(0, 6.3, 2),
                rng.integers(6, 16),
                rng.integers(0, 256, (12, 12, 3), dtype=np.uint8),
            )
            for _ in range(5)
        ]
        self.drift = rng.uniform(20, 60)
        self.noise = rng.uniform(0.5, 2.5)
        self.rng = rng

    def picture(self, t):
        picture = self.ground.astype(np.float32)
        for middle, swing, pace, start, radius, skin in self.blobs:
            turn = 2 * np.pi * pace * self.speed * t + start
            x, y = middle + swing * np.sin(turn) + (self.drift * (t - 0.5), 0.0)
            side = int(2 * radius)
            patch = cv2.resize(skin, (side, side), interpolation=cv2.INTER_LINEAR)
            matrix = np.array([[1.0, 0.0, x - radius], [0.0, 1.0, y - radius]])
            size = (SIZE[1], SIZE[0])
            mask = cv2.warpAffine(np.ones((side, side), np.float32), matrix, size)[..., None]
            layer = cv2.warpAffine(patch.astype(np.float32), matrix, size)
            picture = picture * (1 - mask) + layer * mask
        picture += self.rng.normal(0.0, self.noise, picture.shape)
        return picture.clip(0, 255)


def _taken(scene, times):
    return [scene.picture(t) for t in times]


def plain(scene, rng):
    rate = rng.choice([25, 30, 60, 120])
    return _taken(scene, np.arange(90) / rate), rate, None


def pulled_down(scene, rng):
    per, rate = ((4, 30), (5, 30), (2, 60))[rng.integers(3)]
    own = np.arange(120)
    repeat = own - own // (per + 1) - (own % (per + 1) == per) * 1 + 0
    pictures = _taken(scene, np.arange(120) / (rate * per / (per + 1)))
    return [pictures[k] for k in repeat], rate, None


def lost_and_repeated(scene, rng):
    pictures = _taken(scene, np.arange(100) / 30)
    for k in sorted(rng.choice(np.arange(6, 95, 7), 8, replace=False)):
        pictures[k] = pictures[k - 1]
    return pictures, 30, None


def lost_even(scene, rng):
    kept = np.setdiff1d(np.arange(100), rng.choice(np.arange(8, 92, 9), 4, replace=False))
    return _taken(scene, kept / 30), 30, None


def lost_stamped(scene, rng):
    kept = np.setdiff1d(np.arange(100), rng.choice(np.arange(8, 92, 9), 4, replace=False))
    return _taken(scene, kept / 30), 30, kept.tolist()


def blended(scene, rng):
    factor = int(rng.choice([2, 4, 8]))
    pictures = _taken(scene, np.arange(112 // factor + 2) / 60)
    return [
        pictures[k // factor] * (1 - k % factor / factor)
        + pictures[k // factor + 1] * (k % factor / factor)
        for k in range(112)
    ], 30, None  # fmt: skip


def morphed(scene, rng):
    factor = int(rng.choice([2, 4]))
    pictures = _taken(scene, np.arange(112 // factor + 2) / 60)
    flow = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_MEDIUM)
    made = []
    across, down = np.meshgrid(
        np.arange(SIZE[1], dtype=np.float32), np.arange(SIZE[0], dtype=np.float32)
    )
    for one, two in pairwise(pictures):
        grey = [cv2.cvtColor(p.astype(np.uint8), cv2.COLOR_RGB2GRAY) for p in (one, two)]
        shift = flow.calc(*grey, None)
        for step in range(factor):
            w = np.float32(step / factor)
            if step == 0:
                made.append(one)
                continue
            a = cv2.remap(
                one, across - w * shift[..., 0], down - w * shift[..., 1], cv2.INTER_LINEAR
            )
            v = 1 - w
            b = cv2.remap(
                two, across + v * shift[..., 0], down + v * shift[..., 1], cv2.INTER_LINEAR
            )
            made.append((1 - w) * a + w * b)
    return made[:112], 30, None


def ramped(scene, rng):
    factor = rng.choice([4, 8])
    steps = np.concatenate((np.ones(25), np.full(50, 1 / factor), np.ones(25)))
    return _taken(scene, np.cumsum(steps) / 30), 30, None


def ramped_stamped(scene, rng):
    stamps = np.cumsum(np.concatenate((np.full(25, 8), np.full(50, 1), np.full(25, 8))))
    return _taken(scene, stamps / 240), 30, (stamps * 8).tolist()


class Thrower:
    """An example delivery's own pictures, taken anew: part of the field, either hand, noisier."""

    def __init__(self, rng):
        name = rng.choice(["model-side", "athlete-side", "athlete-rear"])
        left, top = int(rng.integers(0, 80)), int(rng.integers(0, 44))
        step = -1 if rng.random() < 0.5 else 1
        self.pictures = [
            picture[top : top + 224, left : left + 400][:, ::step] for picture in _example(name)
        ]
        self.noise = rng.uniform(0.5, 2.5)
        self.rng = rng

    def taken(self, frames):
        for frame in frames:
            picture = self.pictures[frame].astype(np.float32)
            yield (picture + self.rng.normal(0.0, self.noise, picture.shape)).clip(0, 255)


@cache
def _example(name):
    index = build_index(EXAMPLES / f"{name}.mp4")
    with FrameReader(index, keep_bytes=0) as reader:
        return [
            cv2.resize(stored.to_ndarray(format="rgb24"), (480, 270), interpolation=cv2.INTER_AREA)
            for _, stored in reader.frames(0, index.n_frames - 1)
        ]


def thrown(thrower, rng):
    n, step = len(thrower.pictures), int(rng.choice([1, 2, 4, 8]))
    return thrower.taken(range(0, n, step)), 240 // step, None


def thrown_lost(thrower, rng):
    step = int(rng.choice([1, 2, 4]))
    frames = np.arange(0, len(thrower.pictures), step)
    lost = rng.choice(np.arange(8, len(frames) - 8, 9), 4, replace=False)
    return thrower.taken(np.delete(frames, lost)), 240 // step, None


def thrown_ramped(thrower, rng):
    n, factor = len(thrower.pictures), int(rng.choice([4, 8]))
    start = int(rng.integers(100, 170))
    end = start + int(rng.integers(90, 150))
    parts = np.arange(0, start, factor), np.arange(start, end), np.arange(end, n, factor)
    return thrower.taken(np.concatenate(parts)), 30, None


DOCTORED = {
    "plain": (plain, set()),
    "pulled-down": (pulled_down, {"repeats"}),
    "lost-and-repeated": (lost_and_repeated, {"repeats"}),
    "lost-even-stamps": (lost_even, {"dropped"}),
    "lost-true-stamps": (lost_stamped, {"gaps"}),
    "blended": (blended, {"interpolated"}),
    "motion-interpolated": (morphed, {"interpolated"}),
    "ramp-even-stamps": (ramped, {"ramp"}),
    "ramp-true-stamps": (ramped_stamped, {"varying"}),
    "delivery": (thrown, set()),
    "delivery-lost": (thrown_lost, {"dropped"}),
    "delivery-ramp": (thrown_ramped, {"ramp"}),
}
"""What is done to a clip, and what a look over it should call that."""


def doctored_clip(path, kind, rng):
    subject = Thrower(rng) if kind.startswith("delivery") else Scene(rng)
    pictures, rate, stamps = DOCTORED[kind][0](subject, rng)
    settings = {"crf": rng.uniform(18, 28), "gop": int(rng.choice([12, 30, 120]))}
    if stamps is not None:
        unit = Fraction(1, 1920 if kind.startswith("ramp") else 30)
        settings |= {"stamps": stamps, "time_base": unit}
    pictures = (np.round(p).astype(np.uint8) for p in pictures)
    return write_clip(path, pictures, int(rate), options={"preset": "veryfast"}, **settings)
