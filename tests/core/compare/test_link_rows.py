from __future__ import annotations

from deliverylab.core.compare.link_rows import (
    OF_COMMON_PRACTICE,
    OF_PUBLISHED,
    SAME_COURSE,
    less,
    link,
    more,
)


def test_a_rows_strength_follows_from_its_source_unless_given():
    ends = (more("stride_length"), less("ball_speed"))
    assert link(*ends, "why").strength == OF_COMMON_PRACTICE
    assert link(*ends, "why", "Ray et al. 1999").strength == OF_PUBLISHED
    assert link(*ends, "why", strength=SAME_COURSE).strength == SAME_COURSE
    assert [end.way for end in ends] == ["more", "less"]
