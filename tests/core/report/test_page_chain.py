from __future__ import annotations

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.report.page_chain import NO_PROOF, UNLINKED, node_title, page_chain
from tests.core.compare.chain_cases import line_up


def test_a_chain_is_told_in_everyday_words():
    told = page_chain(line_up())
    assert told.sentences[0] == NO_PROOF
    assert told.sentences[1].startswith(
        "It seems to begin with front foot direction at foot plant ("
    )
    assert told.sentences[2].startswith("Why: ")
    assert all(word not in " ".join(told.sentences[:2]) for word in ("pelvis", "flexion"))


def test_drawings_get_smaller():
    told = page_chain(line_up())
    assert max(each.row for each in told.layout(4).nodes) == 3
    assert max(each.row for each in told.layout(1).nodes) == 0
    assert told.layout(1).n_left_out == len(told.chain.nodes) - len(told.layout(1).nodes)


def test_own_links_take_the_place_of_the_programs():
    told = page_chain(line_up(), links=())
    assert told.chain.starts == ()
    assert told.sentences == (UNLINKED,)


def test_one_clear_difference_is_no_chain():
    assert page_chain(line_up()[:1]) is None
    assert page_chain(()) is None


def test_a_box_says_its_instant_only_where_its_column_does_not():
    nodes = {node.key: node for node in chain_of(line_up()).nodes}
    assert node_title(nodes["pelvis_rotation", "foot_contact"]) == "Hip turn"
