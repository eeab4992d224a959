from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.compare.difference import differences
from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.plan import Plan
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.report.sheet_content import sheet_content

replace = msgspec.structs.replace


@pytest.fixture(scope="module")
def record(athlete, model):
    return ProjectRecord(organisation="Alder Creek", deliveries=(athlete, model))


def test_every_result_of_both_sides_is_there(record, athlete, model):
    content = sheet_content(record, athlete.name, model.name)
    assert tuple(entry.mine for entry in content.entries) == evaluate(athlete)
    assert tuple(entry.theirs for entry in content.entries) == evaluate(model)
    compared = [e.difference for e in content.entries if e.difference is not None]
    assert len(compared) == len(differences(athlete, model)) > 40


def test_a_published_partner_shows_what_is_published(record, athlete):
    content = sheet_content(record, athlete.name, "published college")
    stride = next(entry for entry in content.entries if entry.mine.metric == "stride_length")
    assert stride.theirs.value == pytest.approx(84.6)  # Kageyama et al. 2015, table 2
    assert content.headings[1] == "Published, 30 college pitchers"


def test_the_plan_is_that_of_the_latest_delivery(record, athlete, model):
    plan = Plan(note="Work on it.")
    with_plan = replace(record, deliveries=(replace(athlete, plan=plan), model))
    assert sheet_content(with_plan, athlete.name, model.name).plan.note == "Work on it."
    assert sheet_content(record, athlete.name, model.name).plan is None


def test_who_is_not_there_is_refused(record, athlete):
    with pytest.raises(NotFoundError):
        sheet_content(record, athlete.name, "nobody")
    with pytest.raises(InputValueError, match="athlete"):
        sheet_content(record, "published college", athlete.name)
