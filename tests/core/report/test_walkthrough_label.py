from __future__ import annotations

import numpy as np

from deliverylab.core.report.walkthrough_label import label, lay_over
from deliverylab.core.report.walkthrough_style import (
    FLAG,
    GROUND,
    NAME,
    NAME_PLATE_PX,
    PLATE,
    TEXT,
    rgb,
)


def test_a_plate_is_as_wide_as_its_words():
    short, long = label("Ana", NAME, 900), label("Ana Lisboa de Souza", NAME, 900)
    assert short.shape[1] < long.shape[1] < 900
    assert short.shape[0] == long.shape[0] <= NAME_PLATE_PX
    assert tuple(short[1, 1]) == rgb(PLATE)
    assert short.max() > 200, "letters in it"


def test_words_that_are_too_long_are_cut():
    assert label("a very long name " * 9, NAME, 200).shape[1] <= 200


def test_other_scripts_are_written():
    for text in ("נועה", "山田 花子", "نور"):
        plate = label(text, NAME, 900)
        assert (plate.max(axis=2) > 150).mean() > 0.02, text


def test_a_dark_plate_lets_something_through_and_its_letters_cover_all():
    ground = np.full((100, 300, 3), 200, np.uint8)
    plate = label("Ana", NAME, 900)
    lay_over(ground, plate, 10, 5)
    part = ground[5 : 5 + plate.shape[0], 10 : 10 + plate.shape[1]]
    assert rgb(PLATE)[0] < part[1, 1, 0] < 100
    brightest = np.unravel_index(plate.min(axis=2).argmax(), plate.shape[:2])
    assert abs(int(part[brightest][0]) - int(plate[brightest][0])) < 4
    assert tuple(ground[0, 0]) == (200, 200, 200)


def test_a_bright_plate_covers_all():
    ground = np.zeros((100, 300, 3), np.uint8)
    lay_over(ground, label("Release", FLAG, 900, plate=TEXT), 0, 0)
    assert ground[1, 1].min() > 225
    assert ground.min() <= max(rgb(GROUND))


def test_what_reaches_beyond_the_picture_is_left_out():
    ground = np.full((40, 40, 3), 200, np.uint8)
    plate = label("Ana Lisboa", NAME, 900)
    for left, top in ((30, 30), (-5, -5), (100, 100), (0, -200)):
        lay_over(ground, plate, left, top)
    assert ground.shape == (40, 40, 3)
    assert ground[39, 39, 0] < 200
    assert ground[20, 20, 0] == 200 or ground[20, 20].sum() > 0
