from __future__ import annotations

import pytest

from deliverylab.core.report import walkthrough_style as look
from deliverylab.core.report.style import contrast


def test_a_colour_as_three_numbers():
    assert look.rgb(look.GROUND) == (0x0E, 0x12, 0x17)
    assert look.rgb(look.TEXT) == (0xF3, 0xF4, 0xF0)


@pytest.mark.parametrize("colour", [look.TEXT, look.QUIET, look.MODEL, *look.SIDES.values()])
def test_what_is_read_stands_out_from_the_ground(colour):
    # WCAG 2: 4.5 is enough for text of any size
    assert contrast(colour, look.GROUND) >= 4.5


def test_the_flag_is_read_on_its_bright_plate():
    assert contrast(look.FLAG.colour, look.TEXT) >= 4.5
