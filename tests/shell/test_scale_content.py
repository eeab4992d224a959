from __future__ import annotations

import pytest

from deliverylab.shell import scale_content
from tests.shell.conftest import SCALE, camera_of, delivery_of


@pytest.mark.parametrize(("view", "has_width"), [("open-side", False), ("rear", True)])
def test_the_rubber_is_a_length_only_where_its_width_is_seen(view, has_width):
    delivery = delivery_of("Bo 1", view=view)
    names = [one.name for one in scale_content.known_lengths(delivery, delivery.camera())]
    assert ("the rubber, 24 in wide" in names) == has_width
    assert names[1] == "Bo standing upright"


def test_a_pixel_is_worth_its_length_by_its_pixels():
    assert scale_content.length_px(SCALE) == 300.0
    assert scale_content.line_text(SCALE, "metric") == "1.50 m · 1 px = 5.00 mm"
    assert scale_content.pixel_text(SCALE).startswith("1 px is 5.00 mm, ± 1.2 %")


def test_what_a_scale_means_can_be_checked_by_eye():
    delivery = delivery_of("Bo 1", scale=SCALE)
    text = scale_content.meaning_text(SCALE, delivery, delivery.camera(), 1.62)
    assert "Bo would stand 372 px tall" in text
    assert "head to lower heel is 1.62 m" in text
    assert "near camera" not in text
    far = camera_of(view="open-side")
    unknown = type(SCALE)(a=SCALE.a, b=SCALE.b, length_m=1.5)
    assert "near camera" in scale_content.meaning_text(unknown, delivery, far, None)
