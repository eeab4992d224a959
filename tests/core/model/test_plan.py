from __future__ import annotations

import math

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.plan import MOST_PRIORITIES, Plan, Priority


def _priority(event: str) -> Priority:
    return Priority(metric="stride_length", event=event, way="more", target=85.0)


def test_nobody_works_on_four_things() -> None:
    """One more than the most is refused, with what to do."""
    priorities = tuple(_priority(str(number)) for number in range(MOST_PRIORITIES + 1))
    Plan(priorities=priorities[:-1])
    with pytest.raises(InputValueError, match="at most 3 priorities: leave the others"):
        Plan(priorities=priorities)


def test_the_same_thing_is_not_worked_on_twice() -> None:
    """A metric at an event stands once."""
    with pytest.raises(InputValueError, match="same priority twice"):
        Plan(priorities=(_priority("release"), _priority("release")))


@pytest.mark.parametrize("day", ["2026-02-30", "4 June", "2026"])
def test_the_next_look_is_on_a_day_that_there_is(day: str) -> None:
    """A text that is no date is named."""
    with pytest.raises(InputValueError, match="no date"):
        Plan(recheck_date=day)


@pytest.mark.parametrize("numbers", [{"value": math.nan}, {"u": -1.0}, {"target": math.inf}])
def test_numbers_are_numbers(numbers: dict[str, float]) -> None:
    """NaN, infinities and negative u are refused with the metric named."""
    with pytest.raises(InputValueError, match="stride_length"):
        Priority(metric="stride_length", way="more", **numbers)
