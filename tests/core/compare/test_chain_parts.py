from __future__ import annotations

import json

import pytest

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.compare.chain_parts import chain_row, edge_row
from tests.core.compare.chain_cases import FOOT, PELVIS, SHOULDERS, line_up


def test_a_chain_as_a_row_holds_evidence_and_words():
    chain = chain_of(line_up())
    row = json.loads(json.dumps(chain_row(chain)))
    assert row["starts"][0]["metric"] == FOOT[0]
    assert row["starts"][0]["follows"][0] == list(PELVIS)
    first = next(each for each in row["nodes"] if each["metric"] == FOOT[0])
    assert (first["way"], first["phase"], first["words"]) == ("less", "foot contact", "more open")
    assert (first["d"], first["U"], first["unit"]) == (-6.0, 2.0, "deg")
    assert [each["metric"] for each in row["unexplained"]] == ["arm_slot"]
    assert row["sentences"] == list(chain.sentences)


def test_an_edge_as_a_row_says_why_from_whom_and_over_what():
    chain = chain_of(line_up(pelvis_rotation=None))
    row = edge_row(chain.edges[0])
    assert (row["cause"], row["effect"]) == (FOOT[0], SHOULDERS[0])
    assert row["unseen"] == "pelvis_rotation foot_contact"
    assert row["why"].count(";") == 1
    assert row["source"] == "common practice"
    assert row["strength"] == pytest.approx(0.36)


def test_a_node_is_found_by_its_key():
    chain = chain_of(line_up())
    assert chain.node(PELVIS).words == "pelvis rotation at foot contact: more open"
