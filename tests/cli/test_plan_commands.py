from __future__ import annotations

import json

import pytest

import deliverylab
from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.changes import replace
from deliverylab.core.store.projectfile import load_project, save_project
from deliverylab.core.workflow.planning import PAIN_CAUTION, THROWS_CAUTION

A, B = "Ana 1", "Model"


@pytest.fixture(autouse=True)
def _own_data(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


def plan_in(project):
    return deliverylab.open_project(project).delivery(A).plan


def test_a_suggestion_is_printed_and_nothing_is_kept(run, project):
    status, out, err = run("work-on", project, A, B)
    assert (status, err) == (0, "")
    assert out.startswith(f"{A}: work on this until ")
    assert "  1. " in out
    assert ", partner " in out
    assert ", aim for " in out
    assert "drill: " in out
    assert PAIN_CAUTION in " ".join(out.split())
    assert plan_in(project) is None


def test_it_is_kept_shown_and_taken_out(run, project):
    run("work-on", project, A, B, "--write")
    kept = plan_in(project)
    assert kept == deliverylab.suggest_plan(deliverylab.open_project(project), A, B)
    status, out, _ = run("work-on", project, A, "--show", "--json", "-")
    row = json.loads(out)
    assert status == 0
    assert [one["metric"] for one in row["priorities"]] == [one.metric for one in kept.priorities]
    assert row["recheck_date"] == kept.recheck_date
    assert PAIN_CAUTION in row["cautions"]
    assert run("work-on", project, A, "--remove")[0] == 0
    assert plan_in(project) is None
    for option in ("--show", "--remove"):
        status, out, err = run("work-on", project, A, option)
        assert (status, out) == (NotFoundError.exit_code, "")
        assert "no plan is kept" in err


def test_any_part_is_changed_by_its_number(run, project):
    run("work-on", project, A, B, "--write")
    before = plan_in(project)
    status, out, _ = run(
        *("work-on", project, A, "--show", "--write", "--units", "imperial"),
        *(
            "--cue",
            "1=Go.",
            "--drill",
            "1=My throws",
            "--until",
            "2026-12-24",
            "--note",
            "Well done.",
        ),
    )
    assert status == 0
    plan = plan_in(project)
    assert (plan.recheck_date, plan.note) == ("2026-12-24", "Well done.")
    first = plan.priorities[0]
    assert (first.cue, first.drill, first.how) == ("Go.", "My throws", "")
    assert first.target == before.priorities[0].target
    # nobody knows what a drill of one's own loads
    assert first.arm_load == "throwing"
    assert THROWS_CAUTION in " ".join(out.split())


def test_other_priorities_are_chosen_in_their_order(run, project):
    rows = json.loads(run("compare", project, A, B, "--json", "-")[1])
    clear = [f"{row['metric']}/{row['event']}".rstrip("/") for row in rows if row["rank"]]
    status, out, _ = run(
        "work-on", project, A, B, "--priority", clear[1], "--priority", clear[0], "--json", "-"
    )
    assert status == 0
    found = [f"{p['metric']}/{p['event']}".rstrip("/") for p in json.loads(out)["priorities"]]
    assert found == [clear[1], clear[0]]


def test_a_target_is_read_in_the_units_shown(run, project):
    run("work-on", project, A, B, "--priority", "com_forward_speed/foot_contact", "--write")
    status, out, _ = run("work-on", project, A, "--show", "--target", "1=10", "--json", "-")
    assert json.loads(out)["priorities"][0]["target"] == 10.0
    status, out, _ = run(
        *("work-on", project, A, "--show", "--units", "imperial", "--target", "1=10", "--json", "-")
    )
    assert status == 0
    # a mile an hour is 0.44704 m/s, exact
    assert json.loads(out)["priorities"][0]["target"] == pytest.approx(4.4704)


def test_the_next_look_is_not_before_the_delivery(run, project):
    record = load_project(project)
    dated = tuple(replace(each, date="2026-08-29") for each in record.deliveries)
    save_project(replace(record, deliveries=dated), project)
    status, _, err = run("work-on", project, A, B, "--until", "2026-08-28", "--write")
    assert (status, plan_in(project)) == (InputValueError.exit_code, None)
    assert "before the delivery" in err
    assert run("work-on", project, A, B, "--until", "2026-08-29")[0] == 0


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ([], "compared with is missing"),
        (["--show", "--cue", "1=Go."], "no plan is kept"),
        ([B, "--priority", "stride_length", "--cue", "2=Go."], "the plan has no priority 2"),
        ([B, "--priority", "max_external_rotation"], "no clear difference"),
        ([B, "--priority", "nothing"], "unknown metric"),
        ([B, "--cue", "Go."], "does not begin with a number"),
        ([B, "--target", "1=far"], "a target is a number"),
        ([B, "--priority", "stride_length", "--target", "1=1"], "lies where the value shall go"),
        ([B, "--until", "soon"], "no date"),
    ],
)
def test_what_does_not_fit_is_said(run, project, options, said):
    status, _, err = run("work-on", project, A, *options)
    assert status != 0
    assert said in err
    assert plan_in(project) is None


def test_links_that_are_left_out_and_own_cues_count(run, project):
    kept = deliverylab.suggest_plan(deliverylab.open_project(project), A, B).priorities[0]
    key = f"{kept.metric}/{kept.event}".rstrip("/")
    run("library", "cue", key, kept.way, "In my words.")
    first = json.loads(run("work-on", project, A, B, "--json", "-")[1])["priorities"][0]
    assert first["cue"] == "In my words."
    own = deliverylab.library(project)
    plan = deliverylab.suggest_plan(deliverylab.open_project(project), A, B, own=own)
    assert plan.priorities[0].cue == "In my words."
