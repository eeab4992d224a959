"""The table of the ball's metrics."""

from __future__ import annotations

from deliverylab.core.metrics.ball_table import BALL_METRICS
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.vocabulary.views import SIDE_VIEWS


def test_all_of_them_are_in_the_catalogue_and_seen_from_the_side():
    for spec in BALL_METRICS:
        assert BY_KEY[spec.key] is spec
        assert spec.views == SIDE_VIEWS
        assert spec.phase == "ball"


def test_the_entered_reading_stays_a_result_of_its_own():
    assert BY_KEY["ball_speed"].kind == "given"
    assert BY_KEY["ball_speed_measured"].twin == "ball_speed"
