from __future__ import annotations

import json

import msgspec

import deliverylab
from deliverylab.cli.context_text import say_context
from deliverylab.core.compare.published import LEVELS
from tests.core.compare.results import difference

replace = msgspec.structs.replace


def test_measure_prints_what_is_published_beside_its_results(run, made):
    status, out, err = run("measure", made, "--delivery", "Ana 1", "--context")
    assert (status, err) == (0, "")
    assert "context, not a target" in out
    said = " ".join(out.split())
    assert "published: 46.8° ± 8.5 (30 college pitchers, Kageyama et al. 2015" in said
    _, without, _ = run("measure", made, "--delivery", "Ana 1")
    assert "published" not in without


def test_a_level_comes_first_and_others_are_refused(run, made):
    _, out, _ = run("measure", made, "--delivery", "Ana 1", "--context", "youth")
    assert "40.0° ± 8.2 (32 youth pitchers" in " ".join(out.split())
    status, _, err = run("measure", made, "--context", "champions")
    assert status == 2
    for level in LEVELS:
        assert level in err


def test_json_holds_all_groups(run, made):
    _, out, _ = run("measure", made, "--context", "--json", "-")
    rows = {(row["metric"], row["event"]): row["published"] for row in json.loads(out)}
    groups = rows["lead_knee_flexion", "foot_contact"]["groups"]
    assert [(row["mean"], row["spread"], row["n"]) for row in groups] == [
        (46.8, 8.5, 30),
        (40.0, 8.2, 32),
    ]
    assert rows["release_height", "release"] is None
    _, out, _ = run("measure", made, "--json", "-")
    assert "published" not in json.loads(out)[0]


def test_a_far_value_is_asked_about(capsys):
    far = replace(difference().a, value=120.0, u=1.0)
    say_context([far], "", "metric")
    assert "is foot contact marked in the right frame" in " ".join(capsys.readouterr().out.split())


def test_without_any_it_says_so(capsys):
    none = replace(difference().a, metric="release_height", event="release", unit="m", value=1.8)
    say_context([none], "", "metric")
    assert "nothing of these definitions" in capsys.readouterr().out


def test_the_context_is_that_of_the_python_interface():
    far = replace(difference().a, value=120.0, u=1.0)
    assert deliverylab.published(far).question
    assert deliverylab.published(far, "youth").spreads[0].level == "youth"
