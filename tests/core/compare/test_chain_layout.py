from __future__ import annotations

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.compare.chain_layout import chain_layout
from tests.core.compare.chain_cases import FOOT, SLOW_START, compared, line_up


def placed(layout):
    return {each.node.key: (layout.columns[each.column], each.row) for each in layout.nodes}


def test_columns_are_the_parts_of_the_delivery_and_causes_stand_above():
    layout = chain_layout(chain_of(line_up()))
    assert layout.columns == ("foot contact", "release")
    rows = {
        key[0]: row for key, (column, row) in placed(layout).items() if column == "foot contact"
    }
    assert rows == {
        "lead_foot_direction": 0, "pelvis_rotation": 1, "shoulder_line_rotation": 2, "separation": 3
    }  # fmt: skip
    assert [each.node.key for each in layout.nodes if each.is_start] == [FOOT]
    assert layout.edges == ((0, 1), (1, 2), (2, 3), (2, 4), (4, 5))
    assert layout.n_left_out == 0


def test_what_has_no_room_is_counted_and_led_over():
    layout = chain_layout(chain_of(line_up()), most_rows=2)
    assert layout.n_left_out == 2
    assert FOOT in placed(layout)
    assert max(row for _, row in placed(layout).values()) == 1
    # every point that is drawn is still reached from the start
    reached = {0}
    for cause, effect in layout.edges:
        if cause in reached:
            reached.add(effect)
    assert reached == set(range(len(layout.nodes)))


def test_too_many_columns_leave_out_the_one_that_holds_least():
    found = [
        *line_up(), compared(*SLOW_START, -3.0), compared("stride_length", "", -1.5),
        compared("ball_speed", "", -1.5),
    ]  # fmt: skip
    chain = chain_of(found)
    assert chain_layout(chain).columns == ("leg lift", "foot contact", "release", "ball")
    fewer = chain_layout(chain, most_columns=3)
    assert fewer.columns == ("leg lift", "foot contact", "release")
    assert fewer.n_left_out == chain_layout(chain).n_left_out + 1


def test_an_empty_chain_is_an_empty_drawing():
    layout = chain_layout(chain_of([]))
    assert (layout.columns, layout.nodes, layout.edges) == ((), (), ())
