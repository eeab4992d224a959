from __future__ import annotations

import re

import msgspec
import pytest

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.field import ControlClick, FieldPoint
from deliverylab.core.model.plan import Plan, Priority
from deliverylab.core.model.precision import PlacingPrecision, PlacingRun, PlacingTarget
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.space import SetUpFinding
from deliverylab.core.model.walkthrough import Stop, Walkthrough
from deliverylab.core.store.projectfile import record_to_bytes
from deliverylab.core.workflow.packing_names import aliases_for, without_names
from deliverylab.core.workflow.space_freshness import is_out_of_date
from tests.core.workflow.packed import example

replace = msgspec.structs.replace


POST = FieldPoint(
    key="eva_s_post", name="Eva's post", kind="pole", place_m=(3.0, 1.0, 1.0), u_m=(0.02,) * 3,
    above="cone_left",
)  # fmt: skip


@pytest.fixture
def named():
    """The example, thrown by Eva Lindqvist and placed by Ida, with words about both everywhere."""
    record = example()
    own, model = record.deliveries
    run = PlacingRun(
        name="Ida again", placer="Ida", original_placer="Ola",
        waiting=(PlacingTarget(own.cameras[0].name, 5, "left_knee"),),
    )  # fmt: skip
    priority = Priority(
        metric="stride_length", way="more", cue="Eva, further!", how="Ten times, LINDQVIST"
    )
    first = replace(
        own.cameras[0],
        precision=PlacingPrecision(placer="Ida", u_m={"knee": 0.01}),
        control={**own.cameras[0].control, POST.key: ControlClick(x_px=9.0, y_px=8.0)},
    )
    residual = replace(own.space.residuals[0], point=POST.key)
    solved = replace(
        own.space,
        deliveries=("Lindqvist 1",),
        points_m={**own.space.points_m, POST.key: POST.place_m},
        residuals=(*own.space.residuals, residual),
        findings=(SetUpFinding(
            key="far", severity="doubtful", what="seen by one camera only", where=POST.key, remedy=""
        ),),
    )  # fmt: skip
    own = replace(
        own,
        name="Lindqvist 1",
        athlete=replace(own.athlete, name="Eva Lindqvist"),
        notes="Eva's mother filmed",
        cameras=(first, *own.cameras[1:]),
        placing_runs=(run,),
        plan=Plan(priorities=(priority,), note="call Eva"),
        space=solved,
        field=replace(own.field, points=(*own.field.points, POST)),
    )
    script = Walkthrough(
        pair=("Lindqvist 1", model.name), voice="eva.m4a",
        stops=(Stop(event="release", caption="Here Eva stays back"),),
    )  # fmt: skip
    return replace(
        record, title="Lindqvist in May", organisation="Alder Creek", deliveries=(own, model),
        pair=("Lindqvist 1", model.name), walkthroughs=(script,),
        own_set="all of Eva Lindqvist", partner_set=model.name,
    )  # fmt: skip


def test_nothing_that_names_anybody_is_left(named):
    aliases = aliases_for(named)
    text = record_to_bytes(without_names(named, aliases), "x").decode().casefold()
    for name in ("eva", "lindqvist", "ida", "ola", "alder creek", "mother", "m4a"):
        assert not re.search(rf"(?<![a-z]){name}(?![a-z])", text)


def test_aliases_hold_together(named):
    aliases = aliases_for(named)
    after = without_names(named, aliases)
    assert [d.name for d in after.deliveries] == ["Athlete A 1", "Athlete B 1"]
    assert [d.athlete.name for d in after.deliveries] == ["Athlete A", "Athlete B"]
    assert after.pair == ("Athlete A 1", "Athlete B 1")
    assert after.own_set == "all of Athlete A"
    assert after.walkthroughs[0].pair == after.pair
    assert after.walkthroughs[0].stops[0].caption == "Here Athlete A stays back"
    own = after.deliveries[0]
    assert [camera.name for camera in own.cameras] == ["open-side", "rear"]
    assert [solved.name for solved in own.space.cameras] == ["open-side", "rear"]
    assert own.plan.priorities[0].cue == "Athlete A, further!"
    assert own.plan.priorities[0].how == "Ten times, Athlete A"
    assert own.plan.note == own.notes == ""
    post = own.field.points[-1]
    assert (post.key, post.name, post.above) == (
        "Athlete A_s_post",
        "Athlete A's post",
        "cone_left",
    )
    assert post.key in own.cameras[0].control
    assert post.key in own.space.points_m
    assert own.space.residuals[-1].point == own.space.findings[0].where == post.key
    assert own.placing_runs[0].placer == own.cameras[0].precision.placer
    assert own.placing_runs[0].original_placer != own.placing_runs[0].placer
    assert own.placing_runs[0].waiting[0].camera == "open-side"


def test_results_and_the_freshness_of_solves_stay(named):
    after = without_names(named, aliases_for(named))
    for old, new in zip(named.deliveries, after.deliveries, strict=True):
        assert is_out_of_date(after, new) == is_out_of_date(named, old)
        for before, result in zip(evaluate(old), evaluate(new), strict=True):
            assert (result.value, result.u, result.reason) == (
                before.value,
                before.u,
                before.reason,
            )


def test_deliveries_count_by_athlete_and_cameras_by_view():
    one = example().deliveries[0]
    side = replace(one.cameras[0], name="Papa's phone")
    record = ProjectRecord(
        deliveries=tuple(
            Delivery(name=name, athlete=Athlete(name=who), cameras=(side, replace(side, name="b")))
            for name, who in (("x", "Eva"), ("y", "Bo"), ("z", "Eva"))
        )
    )
    aliases = aliases_for(record)
    assert aliases.deliveries == {"x": "Athlete A 1", "y": "Athlete B 1", "z": "Athlete A 2"}
    assert aliases.cameras["x", "Papa's phone"] == "open-side"
    assert aliases.cameras["x", "b"] == "open-side 2"


def test_after_z_comes_aa():
    athletes = [Delivery(name=str(n), athlete=Athlete(name=f"N{n}"), cameras=()) for n in range(28)]
    aliases = aliases_for(ProjectRecord(deliveries=tuple(athletes)))
    assert aliases.athletes["N25"] == "Athlete Z"
    assert aliases.athletes["N26"] == "Athlete AA"


def test_an_alias_is_not_replaced_again():
    record = ProjectRecord(
        deliveries=(Delivery(name="1", athlete=Athlete(name="Athlete Jones"), cameras=()),)
    )
    assert aliases_for(record).told("Athlete Jones, evasive") == "Athlete A, evasive"


def test_capitals_that_count_as_the_same_are_replaced_too():
    record = ProjectRecord(
        deliveries=(Delivery(name="1", athlete=Athlete(name="İlker Aksoy"), cameras=()),)
    )
    told = aliases_for(record).told
    assert told("Well done, ilker") == "Well done, Athlete A"
    assert told("ILKER AKSOY") == "Athlete A"


def test_sets_of_deliveries_that_are_gone_name_nobody(named):
    stale = replace(named, own_set="all of Bo Ek", partner_set="published college")
    after = without_names(stale, aliases_for(stale))
    assert (after.own_set, after.partner_set) == ("", "published college")
