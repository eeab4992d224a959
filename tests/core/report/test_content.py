from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.compare.difference import differences
from deliverylab.core.compare.parties import one_party
from deliverylab.core.errors import NotFoundError
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.report import wording
from deliverylab.core.report.content import compose, page_content
from deliverylab.core.report.page_rows import MIN_ROWS, closest_to_clear, difference_row, withheld
from deliverylab.core.report.plain_names import plain_name

replace = msgspec.structs.replace


@pytest.fixture(scope="module")
def record(athlete, model):
    return ProjectRecord(organisation="Alder Creek Throwing School", deliveries=(athlete, model))


def test_a_project_becomes_a_page(record, athlete, model, frame_source):
    content = page_content(record, athlete.name, model.name, frame_source=frame_source)
    assert content.name == "Noor V."
    assert content.organisation == "Alder Creek Throwing School"
    assert content.compared_with == "compared with College means, 14\u00a0May\u00a02026"
    assert content.is_model_mirrored
    assert len(content.strip) == 4
    assert content.chart is not None
    # 70 against 80 % of height is the planted difference
    assert content.rows[0].words == "shorter"
    assert "Stride" in content.rows[0].name
    # what one camera from the side cannot show is said, not left out
    topics = {topic for group in content.withheld for topic in group.topics}
    assert {"hips ahead of the shoulders", "arm slot"} <= topics


def test_every_metric_is_somewhere(record, athlete, model):
    content = page_content(record, athlete.name, model.name)
    listed = " ".join(content.alike)
    topics = {topic for group in content.withheld for topic in group.topics}
    rows = {row.name.lower() for row in content.rows}
    for difference in differences(athlete, model):
        name = plain_name(difference.a).lower()
        assert name in rows or name in listed or name in {topic.lower() for topic in topics}


def test_the_units_are_the_readers(record, athlete, model):
    content = page_content(replace(record, unit_system="imperial"), athlete.name, model.name)
    assert "5 ft 11 in" in content.facts
    assert any("26 ft away" in sentence for sentence in content.measured)


def test_unknown_deliveries_are_refused(record, athlete):
    with pytest.raises(NotFoundError, match="no such delivery"):
        page_content(record, athlete.name, "nobody")


def test_rows_follow_the_rank(athlete, model, make_differences):
    found = make_differences(5)
    content = compose(one_party(athlete), one_party(model), found[::-1])
    assert [row.name for row in content.rows[:5]] == [plain_name(d.a) for d in found[:5]]


def test_few_clear_differences_are_followed_by_the_nearest(athlete, model, make_difference):
    found = [
        make_difference("stride_length", "", 70.0, 85.0, rank=1),
        make_difference("arm_slot", "release", 20.0, 20.1),
        make_difference("trunk_forward_tilt", "release", 20.0, 21.0),
        make_difference("trunk_forward_tilt", "foot_contact", 20.0, 22.0),
    ]
    assert closest_to_clear(found, 2) == [found[3], found[1]]
    assert closest_to_clear(found, -1) == []
    content = compose(one_party(athlete), one_party(model), found)
    assert len(content.rows) == 3 < MIN_ROWS
    assert [row.verdict for row in content.rows] == ["clear", "within_error", "within_error"]
    assert content.alike == ("upper body lean at release",)


def test_a_row_carries_value_margin_and_direction(make_difference):
    row = difference_row(make_difference("stride_length", "", 70.0, 85.0, rank=1), "metric")
    assert row.name == "Stride"
    assert row.athlete == ("70.0 ± 2.0", "% of height")
    assert (row.words, row.amount) == ("shorter", "15.0 ± 2.8 % of height")
    assert row.ratio < 0.0
    assert abs(row.ratio) + row.margin_ratio == pytest.approx(1.0)


def test_reasons_are_grouped_by_what_would_help(make_difference):
    def hidden(metric, reason, remedy):
        return make_difference(metric, "release", None, None, reason=reason, remedy=remedy)

    groups = withheld(
        [
            hidden("arm_slot", "the view hides it", "film from behind"),
            hidden("separation", "one camera: errs by 16°", "two cameras"),
            hidden("pelvis_rotation", "one camera: errs by 5°", "two cameras"),
            hidden("elbow_flexion", "arm hidden at release", "two cameras"),
            hidden("ball_speed", "no radar", ""),
        ]
    )
    assert [len(group.topics) for group in groups] == [3, 1, 1]
    assert (groups[0].reason, groups[0].remedy) == ("", "two cameras")
    assert groups[1].reason == "the view hides it"
    assert (groups[2].reason, groups[2].remedy) == ("no radar", "")


def test_how_measured_says_what_plus_minus_means(athlete, model, make_differences):
    content = compose(one_party(athlete), one_party(model), make_differences(1))
    assert content.measured[0] == wording.WHAT_PLUS_MINUS_MEANS
    assert any("mirrored" in sentence for sentence in content.measured)
    same_hand = compose(one_party(model), one_party(model), make_differences(1))
    assert not any("mirrored" in sentence for sentence in same_hand.measured)
    assert np.isfinite([row.ratio for row in content.rows]).all()


def test_points_and_instants_that_lack_are_not_told_one_by_one(athlete):
    bare = replace(athlete, cameras=(replace(athlete.cameras[0], tracks={}, marks={}),))
    reasons = [group.reason for group in withheld(differences(bare, athlete))]
    assert reasons.count("an instant is not marked") == 1
    assert not any("frame" in f"{reason}" for reason in reasons)
