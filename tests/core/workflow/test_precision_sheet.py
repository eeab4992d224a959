from __future__ import annotations

import json

import numpy as np
import pytest

from deliverylab.core.workflow.precision import precision_report
from deliverylab.core.workflow.precision_sheet import (
    pair_sheet,
    part_name,
    person_sheet,
    report_rows,
)
from tests.core.workflow.placing import demo_project, pixel_size_m, place_run, placed_by


@pytest.fixture(scope="module")
def report():
    project = demo_project()
    size_m, random = pixel_size_m(project), np.random.default_rng(4)
    for name in ("Sam", "Kim"):
        place = placed_by(project, random, size_m=size_m)
        place_run(
            project, name, place, original_placer="Sam", landmarks=["throwing_hip", "neck"],
            times=2,
        )  # fmt: skip
    return precision_report(project.record)


def test_parts_have_the_names_that_people_use():
    assert part_name("head_top") == "top of head"
    assert part_name("all") == "all together"


def test_a_persons_sheet_has_a_panel_a_part_with_all_its_points(report):
    person = report.person("Sam")
    sheet = person_sheet(person)
    assert [panel.title for panel in sheet.panels] == ["neck", "hip"]
    for row, panel in zip(person.rows, sheet.panels, strict=True):
        assert len(panel.points) == len(row.points)
        assert panel.bias == pytest.approx(1000.0 * row.agreement.bias)
        assert panel.limits == pytest.approx(tuple(1000.0 * np.array(row.agreement.limits)))
        assert f"{1000.0 * row.technical_error.sd:.1f} mm" in panel.remark


def test_a_pairs_sheet_has_a_panel_for_each_coordinate(report):
    sheet = pair_sheet(report.pairs[0])
    assert [panel.title for panel in sheet.panels] == ["neck", "neck", "hip", "hip"]
    forward, up = sheet.panels[:2]
    assert (len(forward.along), len(forward.up)) == (6, 0)
    assert (len(up.along), len(up.up)) == (0, 6)


def test_all_rows_are_json(report):
    rows = json.loads(json.dumps(report_rows(report), allow_nan=False))
    kinds = [(row["kind"], row["part"]) for row in rows]
    # two people with two parts and all together; one pair with the same, each in two coordinates
    assert len([kind for kind in kinds if kind[0] == "repeats"]) == 6
    assert len([kind for kind in kinds if kind[0] == "two people"]) == 6
    hip = next(row for row in rows if row["kind"] == "repeats" and row["part"] == "hip")
    assert hip["repeatability_m"] == pytest.approx(1.96 * 2**0.5 * hip["technical_error_m"])
    assert hip["technical_error_m"] == report.person(hip["placer"]).rows[1].technical_error.sd
