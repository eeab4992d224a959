"""The page with every part missing, short or long: read back from the PDF, nothing cut or overlapping."""

from __future__ import annotations

import random
from dataclasses import replace

import msgspec
import pytest

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.compare.parties import Party, one_party
from deliverylab.core.model.plan import Plan, Priority
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.report.content import compose, page_content
from deliverylab.core.report.courses import chosen_chart
from deliverylab.core.report.page import page_bytes
from deliverylab.core.report.page_chain import UNLINKED, PageChain, page_chain
from deliverylab.core.report.page_plan import page_plan
from deliverylab.core.report.plan_panel import IN_FULL
from deliverylab.core.report.raster import page_sizes_mm
from deliverylab.core.report.wording import CAUTIONS
from tests.core.metrics.solved import solved_delivery
from tests.core.report.conftest import LONG
from tests.core.report.laid_out import assert_laid_out

WORD = "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft"
CUE = "Let the hips start drifting to the plate before the front knee is at the top, every time."
HOW = (
    "Stand one step from a wall with the throwing side away from it, lift the front knee slowly, and let "
    "the hip touch the wall before the front foot comes down; stay tall, and breathe out. Then a step "
    "farther away, 3 × 8, on three days of the week, without a ball."
)
CAUTION = "This one is thrown: count its throws with all the others of the week, and stop at the first pain."


LOADS = {"leg_lift": "light", "foot_plant": "none", "release": "throwing"}


def _priority(metric, event, *, is_long):
    return Priority(
        metric=metric,
        event=event,
        way="more",
        value=0.2,
        u=0.025,
        target=0.3,
        cue=CUE if is_long else "Drift before the top.",
        drill="Slow drift to the wall, with a stop" if is_long else "",
        how=HOW if is_long else "",
        arm_load=LOADS[event] if is_long else "none",
        caution=CAUTION if is_long else "",
    )


PLANS = {
    "none": None,
    "one": Plan(priorities=(_priority("com_forward_speed", "leg_lift", is_long=False),)),
    "note": Plan(note="Come again in autumn. " * 12),
    "three long": Plan(
        priorities=tuple(
            _priority(metric, event, is_long=True)
            for metric, event in (
                ("com_forward_speed", "leg_lift"),
                ("lead_foot_direction", "foot_plant"),
                ("lead_knee_flexion", "release"),
            )
        ),
        recheck_date="2026-06-04",
        note="Film yourself once a week. " * 8,
    ),
}
NAMES = {
    "plain": ("Noor V.", "College means", "Alder Creek Throwing School"),
    "short": ("N", "M", ""),
    "long": (LONG, LONG, f"{LONG} and {LONG}"),
    "one word": (WORD, WORD, WORD),
    "right to left": ("שרה בן-דוד", "ليلى أحمد", "אקדמיה לזריקות"),
    "far east": ("田中 太郎", "김민준", "野球教室"),
}
COMPARED = {
    "nothing": (0, 0, 0),
    "none clear": (0, 9, 9),
    "not comparable": (0, 0, 30),
    "some": (6, 8, 8),
    "many": (30, 20, 20),
}
CHAINS = ("none", "unlinked", "found")
STRIPS = ("none", "athlete only", "one event", "both")
DIMENSIONS = (
    PLANS, NAMES, COMPARED, CHAINS, STRIPS, (True, False), ("metric", "imperial"), ("a4", "letter"),
    (2012, None),
)  # fmt: skip
N_CASES = 72


def _cases():
    """Return cases in which each value of each part occurs equally often, in ever other company."""
    rng = random.Random(6)
    columns = []
    for dimension in DIMENSIONS:
        values = [value for value in dimension for _ in range(-(-N_CASES // len(dimension)))]
        rng.shuffle(values)
        columns.append(values[:N_CASES])
    return list(zip(*columns, strict=True))


@pytest.fixture(scope="module")
def content_of(athlete, model, make_differences, frame_source):
    chains = {
        "none": None,
        "unlinked": PageChain(chain=chain_of(()), sentences=(UNLINKED,)),
        "found": page_chain(make_differences(30)),
    }
    charts = {system: chosen_chart(athlete, model, [], system) for system in ("metric", "imperial")}

    def build(plan, names, compared, chain, strip, has_chart, system, birth_year):
        name, partner, organisation = NAMES[names]
        a, b = (
            msgspec.structs.replace(
                each,
                athlete=msgspec.structs.replace(each.athlete, name=who, birth_year=birth_year),
            )
            for each, who in ((athlete, name), (model, partner))
        )
        found = make_differences(*COMPARED[compared])
        content = compose(
            one_party(a), one_party(b), found, organisation=organisation, system=system,
            chart=charts[system] if has_chart else None,
            frame_source=frame_source if strip == "one event" else None,
        )  # fmt: skip
        pictures = {
            "none": (),
            "athlete only": tuple(replace(each, model=None) for each in content.strip),
            "one event": content.strip[:1],
            "both": content.strip,
        }[strip]
        return replace(
            content,
            plan=page_plan(PLANS[plan], system),
            strip=pictures,
            chain=chains[chain],
        )

    return build


@pytest.mark.parametrize("case", _cases(), ids=lambda case: "-".join(map(str, case)))
def test_whatever_there_is_fits_and_is_whole(content_of, text_boxes, page_text, case):
    *parts, paper, birth_year = case
    content = content_of(*parts, birth_year)
    pdf = page_bytes(content, paper)
    assert len(page_sizes_mm(pdf)) == 1
    assert_laid_out(text_boxes(pdf), paper)
    said = page_text(pdf)
    assert " ".join(content.cautions) in said
    if content.plan is not None:
        assert content.plan.title.replace("\u00a0", " ") in said
        assert all(caution in said for caution in content.plan.cautions)
        whole = [(item.cue, item.how, item.caution) for item in content.plan.items]
        assert IN_FULL in said or all(text in said for item in whole for text in item)
    if content.chain is not None:
        assert content.chain.sentences[0] in said
    if parts[1] in {"plain", "short"}:
        assert content.name in said
        assert content.compared_with.replace("\u00a0", " ") in said
        assert content.organisation in said


def test_names_in_other_scripts_are_all_there(content_of, page_text):
    for names in ("right to left", "far east"):
        content = content_of("one", names, "some", "found", "both", False, "metric", None)
        said = page_text(page_bytes(content))
        missing = {letter for letter in content.name if letter not in said}
        assert not missing, missing


def test_the_longest_names_are_elided_not_lost(content_of, page_text):
    content = content_of("none", "long", "some", "none", "both", False, "metric", None)
    said = page_text(page_bytes(content))
    assert LONG[:30] in said
    assert "…" in said


def test_several_deliveries_and_a_published_group_are_said(athlete, make_differences, page_text):
    three = Party(
        "all of Noor V.",
        tuple(msgspec.structs.replace(athlete, name=f"bullpen {n}") for n in (1, 2, 3)),
    )
    content = compose(three, Party("published college", (), "college"), make_differences(4))
    said = page_text(page_bytes(content))
    assert "mean of 3" in said
    assert "bullpen 1, 1 of 3" in said
    assert "30 college pitchers" in said
    assert "not marked" not in said


@pytest.fixture(scope="module")
def filmed_twice():
    return solved_delivery(3).delivery, solved_delivery(4).delivery


def _full(athlete, model, filmed_twice, which):
    """Return a project's two deliveries as they come: measured, not composed."""
    replaced = msgspec.structs.replace
    camera = athlete.cameras[0]
    return {
        "one camera": (athlete, model),
        "two cameras and one": (filmed_twice[0], athlete),
        "two cameras": filmed_twice,
        "single event": (
            replaced(
                athlete,
                cameras=(replaced(camera, marks={"release": camera.marks["release"]}),),
            ),
            model,
        ),
        "another view": (athlete, replaced(model, cameras=(replaced(camera, view="rear"),))),
        "nothing placed": (replaced(athlete, cameras=(replaced(camera, tracks={}),)), model),
    }[which]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(
    "which",
    ["one camera", "two cameras and one", "two cameras", "single event", "another view",
     "nothing placed"],
)  # fmt: skip
def test_measured_deliveries_make_a_page(
    athlete, model, filmed_twice, frame_source, text_boxes, page_text, which, paper
):
    a, b = _full(athlete, model, filmed_twice, which)
    plan = PLANS["three long"] if paper == "letter" else None
    record = ProjectRecord(
        deliveries=(msgspec.structs.replace(a, plan=plan), b), unit_system="imperial"
    )
    pdf = page_bytes(page_content(record, a.name, b.name, frame_source=frame_source), paper)
    assert len(page_sizes_mm(pdf)) == 1
    assert_laid_out(text_boxes(pdf), paper)
    assert " ".join(CAUTIONS) in page_text(pdf)
