from __future__ import annotations

from deliverylab.core.report.page_rows import BY_CHAIN, BY_PLAN, NOT_SPOKEN_OF, table_rows


def test_what_plan_and_chain_speak_of_is_marked_and_never_left_out(make_difference):
    found = [
        make_difference("stride_length", "", 70.0, 85.0, rank=1),
        make_difference("trunk_forward_tilt", "release", 20.0, 30.0, rank=2),
        *(
            make_difference(metric, "foot_contact", 20.0, 20.5 + number / 10)
            for number, metric in enumerate(
                ("trunk_forward_tilt", "lead_knee_flexion", "pelvis_rotation", "elbow_flexion")
            )
        ),
    ]
    spoken_of = {
        ("trunk_forward_tilt", "release"): BY_CHAIN,
        ("trunk_forward_tilt", "foot_contact"): BY_PLAN,
    }
    rows, rest = table_rows(found, spoken_of, "metric")
    assert [row.spoken_of for row in rows] == [NOT_SPOKEN_OF, BY_CHAIN, BY_PLAN, NOT_SPOKEN_OF]
    assert [row.verdict for row in rows] == ["clear", "clear", "within_error", "within_error"]
    # of those that are left the nearest to clear fills the table
    assert rows[3].name == "Elbow bend"
    assert [each.metric for each in rest] == ["lead_knee_flexion", "pelvis_rotation"]
