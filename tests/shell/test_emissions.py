"""Thousands of calls into Qt: one faulty release of the binding did not survive them."""

from __future__ import annotations

import sys

import pytest
from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtGui import QImage, QPainter

N_EMISSIONS = 5000
# The fault loses one reference to None or True with each call that returns nothing, and aborts the
# process when none is left (PySide6 6.12.0 on Python 3.11: one of True an emission, after some 550).
# A short run tells it by the count, before the long one could abort; other code may take or give
# back a few meanwhile.
N_FIRST = 100
N_REFERENCES_ASTRAY = 50


class Pulse(QObject):
    """Emits, and counts what it hears."""

    beaten = Signal()
    counted = Signal(int)
    told = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.n_beats = 0
        self.total = 0
        self.last: object = ...

    @Slot()
    def _on_beaten(self) -> None:
        self.n_beats += 1

    @Slot(int)
    def _on_counted(self, number: int) -> None:
        self.total += number

    def _on_told(self, value: object) -> None:
        self.last = value


@pytest.fixture
def pulse(qapp):
    pulse = Pulse()
    pulse.beaten.connect(pulse._on_beaten)
    pulse.counted.connect(pulse._on_counted)
    pulse.told.connect(pulse._on_told)
    return pulse


def _counts() -> tuple[int, int, int]:
    return sys.getrefcount(None), sys.getrefcount(True), sys.getrefcount(False)


def _assert_none_lost(before: tuple[int, int, int]) -> None:
    after = _counts()
    lost = [old - new for old, new in zip(before, after, strict=True)]
    assert max(lost) < N_REFERENCES_ASTRAY, f"references of None, True, False lost: {lost}"


def test_a_few_signals_lose_no_reference(pulse):
    before = _counts()
    for number in range(N_FIRST):
        pulse.counted.emit(number)
    assert pulse.total == N_FIRST * (N_FIRST - 1) // 2
    _assert_none_lost(before)


def test_signals_are_heard_thousands_of_times(pulse):
    before = _counts()
    for number in range(N_EMISSIONS):
        pulse.beaten.emit()
        pulse.counted.emit(number)
        pulse.told.emit(None)
        pulse.told.emit(True)
    assert pulse.n_beats == N_EMISSIONS
    assert pulse.total == N_EMISSIONS * (N_EMISSIONS - 1) // 2
    assert pulse.last is True
    _assert_none_lost(before)


def test_painting_survives_thousands_of_calls(qapp):
    image = QImage(64, 64, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.black)
    before = _counts()
    painter = QPainter(image)
    for number in range(N_EMISSIONS):
        painter.setPen(Qt.GlobalColor.white)
        painter.drawPoint(number % 64, number // 64 % 64)
    painter.end()
    assert image.pixelColor(63, 63) == Qt.GlobalColor.white
    _assert_none_lost(before)
