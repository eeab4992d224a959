from __future__ import annotations

from deliverylab.core.metrics.catalogue import METRICS
from deliverylab.core.report.plain_names import PLAIN_NAMES, plain_name

LEARNED = ("flexion", "pelvis", "drive ", "lead ", "rotation", "tilt", "separation", "abduction")
"""Words that an instructor knows, and a fourteen-year-old need not."""


def test_every_metric_has_a_name_in_everyday_words():
    assert set(PLAIN_NAMES) == {spec.key for spec in METRICS}
    for name in PLAIN_NAMES.values():
        assert not any(word in name.lower() for word in LEARNED), name
        assert name[0].isupper()


def test_only_two_units_of_one_thing_share_a_name():
    names = list(PLAIN_NAMES.values())
    shared = {name for name in names if names.count(name) > 1}
    assert shared == {PLAIN_NAMES["stride_length"]}


def test_a_result_is_called_by_it(make_result):
    assert plain_name(make_result("lead_knee_flexion", "release")) == "Front knee bend"
    assert plain_name(make_result(metric="arm_slot", event="release")) == "Arm slot"
