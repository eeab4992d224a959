from __future__ import annotations

import pytest

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.spec import Result
from deliverylab.shell.value_text import (
    name_and_instant,
    name_under_heading,
    of_difference,
    of_result,
    phase_of,
    verdict_shape,
    verdict_word,
)


def result_of(value=0.5, u=0.02, *, unit="m", decimals=2, event="release", **fields):
    return Result(
        delivery="Bo 1",
        metric="release_height",
        event=event,
        name="Release height",
        phase=fields.pop("phase", "release"),
        unit=unit,
        decimals=decimals,
        status="not_shown" if value is None else "measured",
        value=value,
        u=u,
        **fields,
    )


def difference_of(d=0.3, u=0.05, verdict="clear", words="higher", **fields):
    return Difference(
        a=result_of(), b=result_of(0.2), d=d, u=u, verdict=verdict, words=words, **fields
    )


def test_number_and_margin_stand_apart():
    assert of_result(result_of(), "metric") == ("0.50", "± 0.04 m")
    assert of_result(result_of(47.2, 2.0, unit="deg", decimals=0), "metric") == ("47°", "± 4")
    assert of_result(result_of(None, None), "metric") == ("–", "")
    assert of_result(result_of(1.0, 0.0254), "imperial") == ("39.4", "± 2.0 in")


def test_a_difference_carries_its_sign():
    assert of_difference(difference_of(), "metric") == ("+0.30", "± 0.10 m")
    assert of_difference(difference_of(-0.3), "metric")[0] == "\u22120.30"
    assert of_difference(difference_of(0.001), "metric")[0] == "0.00"


@pytest.mark.parametrize(
    ("difference", "shape", "word"),
    [
        (difference_of(), "above", "higher"),
        (difference_of(-0.3, words="lower"), "below", "lower"),
        (difference_of(verdict="within_error", words=""), "same", "within ±"),
        (difference_of(None, None, "not_comparable", ""), "apart", "not comparable"),
    ],
)
def test_a_verdict_has_a_shape_and_a_word(difference, shape, word):
    assert verdict_shape(difference) == shape
    assert verdict_word(difference) == word


def test_results_are_listed_by_instant_then_by_phase():
    plant = result_of(event="foot_plant", phase="leg lift")
    assert phase_of(plant) == "foot contact"
    assert name_under_heading(plant) == "Release height at foot plant"
    assert name_under_heading(result_of(event="foot_contact")) == "Release height"
    assert name_under_heading(result_of(event="full_layback")) == "Release height"
    assert name_under_heading(result_of(event="")) == "Release height"
    assert phase_of(result_of(event="", phase="timing")) == "timing"


def test_an_instant_stands_in_a_name_once():
    assert name_and_instant(result_of(event="foot_contact")) == "Release height at foot contact"
    assert name_and_instant(result_of(event="release")) == "Release height"
    assert name_and_instant(result_of(event="")) == "Release height"
