from __future__ import annotations

import json
from pathlib import Path

import pytest

import deliverylab
from deliverylab.core.compare.links import LINKS
from deliverylab.core.model.library import Library
from deliverylab.core.store.library import save_library

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "demo.delivery"


@pytest.fixture
def pair():
    project = deliverylab.open_project(EXAMPLE)
    own, model = project.record.pair
    return own, model, deliverylab.chain(project.delivery(own), project.delivery(model))


def test_the_chain_is_drawn_with_its_evidence(run, pair):
    own, model, chain = pair
    status, out, err = run("chain", EXAMPLE, own, model)
    assert (status, err) == (0, "")
    assert chain.starts
    for start in chain.starts:
        assert start.node.words in out
    for node in chain.nodes:
        assert node.words in out
    assert out.count("└─") >= len(chain.starts)
    for sentence in chain.sentences:
        assert sentence in " ".join(out.split())
    assert "clear, but not explained by this:" in out


def test_json_holds_the_same(run, pair):
    own, model, chain = pair
    status, out, _ = run("chain", EXAMPLE, own, model, "--json", "-")
    assert status == 0
    row = json.loads(out)
    assert [start["metric"] for start in row["starts"]] == [s.node.metric for s in chain.starts]
    assert len(row["nodes"]) == len(chain.nodes)
    assert row["sentences"] == list(chain.sentences)


def test_a_delivery_against_itself_has_nothing_to_trace(run, pair):
    own, _, _ = pair
    status, out, _ = run("chain", EXAMPLE, own, own)
    assert status == 0
    assert "No difference is clear" in out


def test_the_library_beside_the_project_is_used(run, pair, tmp_path):
    own, model, _ = pair
    path = tmp_path / "demo.delivery"
    path.write_bytes(EXAMPLE.read_bytes())
    without = Library(without_links=tuple(link.key for link in LINKS))
    save_library(without, tmp_path / "library.json")
    status, out, _ = run("chain", path, own, model)
    assert status == 0
    assert "do not line up" in out


def test_units_are_the_readers(run, pair):
    own, model, _ = pair
    status, out, _ = run("chain", EXAMPLE, own, model, "--units", "imperial")
    assert status == 0
    assert " mph" in out
