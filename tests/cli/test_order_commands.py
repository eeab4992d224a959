from __future__ import annotations

import json

import pytest
from msgspec.structs import replace

import deliverylab
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.store.projectfile import save_project
from deliverylab.core.synthetic.field_filming import FieldCare
from tests.core.metrics.solved import solved_delivery

CARE = FieldCare(placing_px=1.0, bias_m=0.005)


@pytest.fixture(scope="module")
def filmed(tmp_path_factory):
    deliveries = [solved_delivery(seed, care=CARE).delivery for seed in range(8)]
    other = replace(deliveries[0], name="alone", athlete=replace(deliveries[0].athlete, name="Bo"))
    path = tmp_path_factory.mktemp("filmed") / "field.delivery"
    save_project(ProjectRecord(deliveries=(*deliveries, other)), path)
    return path


def test_the_order_of_each_athlete_is_printed(run, filmed):
    status, out, err = run("order", filmed)
    assert (status, err) == (0, "")
    assert "shoulder line before elbow: in " in out
    assert "all in this order: " in out
    assert "Bo\n  only 1 delivery tells all peaks; 5 are needed: film more deliveries" in out


def test_json_holds_the_same(run, filmed):
    status, out, _ = run("order", filmed, "--athlete", "Ana", "--json", "-")
    assert status == 0
    assert out.endswith("]\n")
    (row,) = json.loads(out)
    assert row["athlete"] == "Ana"
    project = deliverylab.open_project(filmed)
    own = [each for each in project.record.deliveries if each.athlete.name == "Ana"]
    order = deliverylab.peak_order(own)
    assert row["n_in_order"] == order.n_in_order
    assert [part["name"] for part in row["parts"]] == ["pelvis", "shoulder line", "elbow"]


def test_an_unknown_athlete_is_said(run, filmed):
    status, _, err = run("order", filmed, "--athlete", "Cy")
    assert status != 0
    assert "there are: Ana, Bo" in err


def test_a_project_without_solved_cameras_says_what_is_missing(run, project):
    assert isinstance(deliverylab.open_project(project), Project)
    status, out, _ = run("order", project)
    assert status == 0
    assert "one camera does not show it" in out
