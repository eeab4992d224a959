"""What an athlete's courses say, in words: which metrics changed, by how much, and what was wanted."""

from __future__ import annotations

from collections.abc import Sequence

from deliverylab.core.compare.change import ChangeOfMean
from deliverylab.core.compare.course import Course, Reached, Target
from deliverylab.core.metrics.catalogue import instant_text
from deliverylab.core.report import wording
from deliverylab.core.units import UnitSystem, format_part, format_value

TOO_FEW = "too few deliveries to tell a change"
REMEDY = "film three deliveries or more at each visit"
LEAST_COUNTED = 15
"""Numbers of which one in twenty is nearer to one than to none."""


def course_name(course: Course) -> str:
    """Return ``Lead knee flexion at release``."""
    return f"{course.name} {instant_text(course.name, course.event)}".strip()


def amount(course: Course, value: float, system: UnitSystem, *, has_sign: bool = False) -> str:
    """Return a number of a course in the reader's units.

    It has one decimal more than the metric's values where the change that counts is a few of their last
    digit: a change and what it is held against then read apart.
    """
    least = course.change.detectable if course.change is not None else None
    is_small = least is not None and least < 10.0 ** (1 - course.decimals)
    text = format_value(value, None, course.unit, course.decimals + is_small, system)
    return f"+{text}" if has_sign and value > 0.0 and text[0] in "0123456789" else text


def change_words(course: Course, change: ChangeOfMean | None, system: UnitSystem) -> str:
    """Return what became of a metric between two visits, in one clause.

    ``longer by 5.3 % of height; more than 2.2 % of height counts``.
    """
    if change is None:
        return "one visit only"
    if change.detectable is None:
        return TOO_FEW
    least = amount(course, change.detectable, system)
    if change.verdict == "changed":
        return (
            f"{change.words} by {amount(course, abs(change.d), system)}; more than {least} counts"
        )
    d = amount(course, change.d, system, has_sign=True)
    return f"no detectable change ({d}; more than {least} would count)"


def brief_words(course: Course, system: UnitSystem) -> str:
    """Return the same of the whole course in a few words, with whether the target is reached."""
    said = ""
    change = course.change
    if change is not None and change.detectable is not None:
        if change.verdict == "changed":
            said = f"{change.words} by {amount(course, abs(change.d), system)}"
        else:
            d = amount(course, change.d, system, has_sign=True)
            said = f"{d}, counts from {amount(course, change.detectable, system)}"
    elif change is None:
        said = spread_words(course, system)
    if course.target is None:
        return said
    return " · ".join(part for part in (said, f"target {_REACHED[course.target.reached]}") if part)


def spread_words(course: Course, system: UnitSystem) -> str:
    """Return how far the deliveries of the last visit spread; empty of a single one."""
    last = course.visits[-1]
    if last.spread is None:
        return ""
    return f"spread {_fine(course, last.spread, system)} over {last.n} deliveries"


_REACHED: dict[Reached, str] = {
    "reached": "reached",
    "within ± of it": "within the ± of it",
    "not reached": "not reached yet",
    "not measured since": "not measured since",
}


def target_words(course: Course, target: Target, system: UnitSystem) -> str:
    """Return what was wanted of a metric, and whether the last visit is there."""
    bound = "at least" if target.way == "more" else "at most"
    value = amount(course, target.value, system)
    return f"wanted {bound} {value}: {_REACHED[target.reached]}"


def judged_words(course: Course, system: UnitSystem) -> tuple[str, ...]:
    """Return how a course's change was judged, what it rests on, and what was left out."""
    said = []
    error = course.error
    if course.change is not None and course.change.detectable is not None:
        n_dof = error.n_degrees_of_freedom
        said.append(
            f"One delivery scatters by {_fine(course, error.sd, system)} (standard error of "
            f"measurement, {wording.counted(n_dof, 'degree')} of freedom), by the deliveries within "
            "visits, and never less than placing and marking. A change between means counts beyond "
            f"{amount(course, course.change.detectable, system)}: that takes in how many deliveries "
            "each is of, and that the camera stood anew."
        )
    elif course.change is not None:
        said.append(f"To tell a change, {REMEDY}.")
    if course.step is not None:
        before = wording.day(course.step.before)
        said.append(f"Since {before}: {change_words(course, course.step, system)}.")
    spreads = [visit for visit in course.visits if visit.spread is not None]
    if spreads:
        each = ", ".join(
            f"{_fine(course, visit.spread, system)} on {wording.day(visit.date)}"
            for visit in spreads
            if visit.spread is not None
        )
        said.append(f"Spread of the deliveries (standard deviation): {each}.")
    said += [f"{wording.day(date)} is left out: {reason}." for date, reason in course.left_out]
    return tuple(said)


def _fine(course: Course, value: float, system: UnitSystem) -> str:
    return format_part(value, course.unit, course.decimals, system)


def ranked_courses(courses: Sequence[Course]) -> tuple[Course, ...]:
    """Return courses with the planned ones first, then those that changed most beyond what counts."""
    return tuple(sorted(courses, key=_rank))


def _rank(course: Course) -> tuple[int, float]:
    change = course.change
    share = 0.0
    if change is not None and change.detectable:
        share = abs(change.d) / change.detectable
    if course.target is not None:
        return 0, -share
    if course.is_changed:
        return 1, -share
    if change is None:
        return 4, 0.0
    return (2, -share) if change.detectable is not None else (3, 0.0)


def summary_words(courses: Sequence[Course]) -> str:
    """Return how many metrics changed from the first visit to the last, in one or two sentences."""
    judged = [c.change for c in courses if c.change is not None and c.change.detectable is not None]
    dates = sorted({visit.date for course in courses for visit in course.visits})
    n_visits = len(dates)
    visits = wording.counted(n_visits, "visit")
    if n_visits > 1:
        visits += f", {wording.day(dates[0])} to {wording.day(dates[-1])}"
    if not judged:
        if n_visits < 2:
            return f"{visits} so far: progress shows from the second one on."
        return f"{visits}: {TOO_FEW}; {REMEDY}."
    n_changed = sum(change.verdict == "changed" for change in judged)
    wanted = [course.target for course in courses if course.target is not None]
    text = (
        f"{visits}: {n_changed} of {wording.counted(len(judged), 'number')} changed "
        "more than repeats scatter."
    )
    if wanted:
        n_reached = sum(target.reached == "reached" for target in wanted)
        text += f" {n_reached} of {wording.counted(len(wanted), 'target')} reached."
    return text


def chance_words(courses: Sequence[Course]) -> str:
    """Return how many of so many numbers read as changed by chance; empty where none is judged.

    Of a few, less than one is to be expected: then only the share is said.
    """
    n = sum(c.change is not None and c.change.detectable is not None for c in courses)
    if not n:
        return ""
    share = "Of numbers that did not change, one in twenty reads as changed"
    return f"{share}: of {n}, about {round(n / 20)}." if n >= LEAST_COUNTED else f"{share}."
