from __future__ import annotations

import math

import pytest

from deliverylab.core.compare.published import PUBLISHED
from deliverylab.core.compare.published_party import (
    NOT_PUBLISHED,
    published_result,
    published_yardstick,
)
from tests.core.compare.results import result


def test_a_groups_mean_has_its_standard_error():
    mean = published_result(result(), "college")
    # Kageyama et al. 2015, table 3: stride knee at contact 46.8 (8.5), 30 collegiate pitchers
    assert (mean.result.value, mean.n, mean.spread) == (46.8, 30, 8.5)
    rounding = 0.1 / math.sqrt(12.0)
    assert mean.result.u == pytest.approx(math.hypot(8.5 / math.sqrt(30.0), rounding))
    assert mean.result.n_degrees_of_freedom == pytest.approx(29.0, rel=0.01)
    assert mean.result.delivery == "published college"
    assert mean.result.cautions == ("theirs is an angle in space",)
    assert sum(part.u**2 for part in mean.result.budget) == pytest.approx(mean.result.u**2)
    assert published_yardstick(result(), "college").spread == 8.5


def test_what_is_printed_without_decimals_is_rounded_more():
    own = result(metric="separation", event="foot_contact")
    mean = published_result(own, "high school").result
    # Orishimo et al. 2023, abstract: separation at contact 50 ± 12 degrees, 29 pitchers
    assert mean.u == pytest.approx(math.hypot(12.0 / math.sqrt(29.0), 1.0 / math.sqrt(12.0)))


def test_groups_are_told_apart():
    assert published_result(result(), "youth").result.value == 40.0
    assert not published_result(result(), "high school").result.is_shown
    assert published_yardstick(result(), "high school") is None


def test_what_is_not_published_is_not_shown():
    tilt = result(metric="trunk_lateral_tilt", event="release")
    mean = published_result(tilt, "college")
    assert (mean.n, mean.result.status, mean.result.value) == (0, "not_shown", None)
    assert mean.result.reason == NOT_PUBLISHED


@pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: f"{row.metric}-{row.event}-{row.level}")
def test_every_published_row_can_be_compared_with(row):
    own = result(metric=row.metric, event=row.event, status="not_shown", value=None, u=None)
    mean = published_result(own, row.level).result
    assert (mean.value, mean.status) == (row.mean, "measured")
    assert mean.u > 0.0
