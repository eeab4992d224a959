"""The page's sentences: short words that a fourteen-year-old understands."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable

import numpy as np

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import BY_KEY as METRIC_BY_KEY
from deliverylab.core.metrics.catalogue import instant_of
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.space import SolvedCamera
from deliverylab.core.model.track import ORIGINS
from deliverylab.core.report.plain_names import plain_name
from deliverylab.core.units import (
    INCH_M,
    MPH_M_S,
    UnitSystem,
    decimals_of_difference,
    format_value,
    shown_unit,
)
from deliverylab.core.vocabulary.events import BY_KEY as EVENT_BY_KEY
from deliverylab.core.vocabulary.views import BY_KEY as VIEW_BY_KEY

PAIN_CAUTION = (
    "Pain, numbness, swelling, or a loss of speed or range: stop throwing and see a clinician."
)
CAUTIONS: tuple[str, ...] = (
    "This page shows positions and timing only; it says nothing about injury.",
    PAIN_CAUTION,
    "Your league’s pitch-count and rest rules come first.",
)
CAUTIONS_FOR_MINORS: tuple[str, ...] = (
    "This page shows positions and timing only; it says nothing about injury.",
    "You are still growing: a difference from somebody else is no mistake, and it will change.",
    "Do the drills with a grown-up who knows them.",
    f"{PAIN_CAUTION} Tell your parents and your coach.",
    "Your league’s pitch-count and rest rules come first.",
)
WHAT_PLUS_MINUS_MEANS = (
    "± means: in about 19 of 20 cases the true value lies within it. A difference is clear when it is "
    "larger than its own ±."
)
PLUS_MINUS_BRIEFLY = "±: in 19 of 20 cases the true value lies within it. Clear: larger than its ±."
KM_H_PER_M_S = 3.6
_BY_HAND = ORIGINS.index("placed")
MOST_INSTANTS = 2
"""Instants of one metric that a list names."""
# not from the system's language: the rest of the page is English too
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def day(iso: str) -> str:
    """Return ``14 May 2026``, its parts kept on one line, for an ISO day; other text as it is."""
    try:
        date = dt.date.fromisoformat(iso.strip())
    except ValueError:
        return iso.strip()
    return f"{date.day}\u00a0{_MONTHS[date.month - 1]}\u00a0{date.year}"


def height(height_m: float, system: UnitSystem) -> str:
    """Return a body height in the reader's units."""
    if system == "metric":
        return f"{height_m:.2f} m"
    feet, inches = divmod(round(height_m / INCH_M), 12)
    return f"{feet} ft {inches} in"


def ball_speed(speed_m_s: float, system: UnitSystem) -> str:
    """Return a ball's speed in the reader's units."""
    if system == "metric":
        return f"{speed_m_s:.1f} m/s ({speed_m_s * KM_H_PER_M_S:.0f} km/h)"
    return f"{speed_m_s / MPH_M_S:.0f} mph"


def facts(delivery: Delivery, system: UnitSystem) -> tuple[str, ...]:
    """Return who threw and when, as short clauses."""
    athlete = delivery.athlete
    said = [f"{athlete.hand}-handed"]
    if athlete.height_m is not None:
        said.append(height(athlete.height_m, system))
    if delivery.date.strip():
        said.append(day(delivery.date))
    if delivery.ball_speed_m_s is not None:
        said.append(f"ball {ball_speed(delivery.ball_speed_m_s, system)}")
    return tuple(said)


def headings(a: Delivery, b: Delivery) -> tuple[str, str]:
    """Return what the two deliveries are called in the table: people's names, or deliveries'."""
    if a.athlete.name != b.athlete.name:
        return a.athlete.name, b.athlete.name
    return a.name, b.name


def compared_with(a: Delivery, b: Delivery) -> str:
    """Return what the page says about the partner."""
    day_b = f", {day(b.date)}" if b.date.strip() else ""
    if a.athlete.name == b.athlete.name:
        return f"compared with own delivery “{b.name}”{day_b}"
    return f"compared with {b.athlete.name}{day_b}"


def event_name(key: str) -> str:
    """Return what a person calls an event."""
    return EVENT_BY_KEY[key].name if key in EVENT_BY_KEY else key.replace("_", " ")


def when(result: Result) -> str:
    """Return ``at release``, ``from leg lift to foot plant``, or nothing where the name says it."""
    if result.event:
        return instant_of(result)
    spec = METRIC_BY_KEY.get(result.metric)
    # the name of a time says between which instants
    if spec is None or spec.kind != "between_events":
        return ""
    start, end = (event_name(key) for key in spec.events)
    return f"from {start} to {end}"


def value(result: Result, system: UnitSystem) -> tuple[str, str]:
    """Return ``77.6 ± 1.2`` and ``% of height``, or ``47° ± 4`` and nothing, as the reader's units.

    A lifted value says that it is estimated.
    """
    if result.value is None:
        return "not shown", ""
    text = format_value(result.value, result.expanded_u, result.unit, result.decimals, system)
    if result.status == "estimated":
        text = f"about {text}"
    symbol = shown_unit(result.unit, system).symbol
    number = text.removesuffix(f" {symbol}")
    return number, symbol if number != text else ""


def amount(difference: Difference, system: UnitSystem) -> str:
    """Return the size of a difference with its ±; the words say the direction."""
    if difference.d is None:
        return ""
    d = abs(difference.d) if difference.words else difference.d
    unit, expanded_u = difference.a.unit, difference.expanded_u
    decimals = decimals_of_difference(d, expanded_u, unit, difference.a.decimals, system)
    return format_value(d, expanded_u, unit, decimals, system)


def topics(results: Iterable[Result]) -> tuple[str, ...]:
    """Return metrics with their instants, each once: ``upper body lean at contact and release``."""
    events: dict[str, list[str]] = {}
    for result in results:
        instants = events.setdefault(lowered(plain_name(result)), [])
        if instant_of(result):
            instants.append(event_name(result.event))
    return tuple(_topic(name, instants) for name, instants in events.items())


def _topic(name: str, instants: list[str]) -> str:
    """Return a metric with its instants; many are counted, else a list of lists is hard to read."""
    if len(instants) > MOST_INSTANTS:
        return f"{name} ({len(instants)} instants)"
    return f"{name} at {joined(instants)}" if instants else name


def lowered(text: str) -> str:
    """Return a phrase with a small first letter, unless it begins with a short form."""
    return text if text[1:2].isupper() else text[:1].lower() + text[1:]


def raised(text: str) -> str:
    """Return a phrase with a capital first letter."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """Return a phrase as a sentence: a capital first, a full stop at the end."""
    text = raised(text.strip())
    return text if not text or text.endswith((".", "!", "?")) else f"{text}."


def joined(names: Iterable[str]) -> str:
    """Return ``a``, ``a and b``, ``a, b and c``."""
    *most, last = tuple(names) or ("",)
    return f"{', '.join(most)} and {last}" if most else last


def counted(n: int, one: str, many: str = "") -> str:
    """Return ``1 picture``, ``6 pictures``."""
    return f"{n} {one if n == 1 else many or one + 's'}"


def length(length_m: float, system: UnitSystem) -> str:
    """Return a length or distance in the reader's units."""
    if system == "metric":
        return f"{length_m:.1f} m" if length_m >= 2.0 else f"{length_m:.2f} m"
    inches = length_m / INCH_M
    if inches >= 120.0:
        return f"{inches / 12.0:.0f} ft"
    return f"{inches / 12.0:.1f} ft" if inches >= 48.0 else f"{inches:.1f} in"


def filmed(delivery: Delivery, system: UnitSystem) -> str:
    """Return how a delivery was filmed: cameras, view, distance, rate."""
    space = delivery.space if delivery.space and not delivery.space.is_refused else None
    solved = {camera.name: camera for camera in space.cameras} if space else {}
    said = [_one_camera(c, solved.get(c.name), system) for c in delivery.cameras]
    if len(said) == 1:
        return f"one camera, {said[0]}"
    number = "two" if len(said) == 2 else f"{len(said)}"
    together = " solved together" if solved else ""
    sure = f", directions good to {space.worst_deg:.1f}°" if space and space.worst_deg else ""
    return f"{number} cameras{together} ({'; '.join(said)}){sure}"


def filmed_briefly(delivery: Delivery) -> str:
    """Return how a delivery was filmed in a few words: cameras, views, rates."""
    views = (VIEW_BY_KEY.get(camera.view) for camera in delivery.cameras)
    named = joined(dict.fromkeys(view.name for view in views if view))
    rates = dict.fromkeys(f"{c.timing.true_rate_hz:.4g}" for c in delivery.cameras)
    number = {1: "one camera", 2: "two cameras"}.get(len(delivery.cameras), "several cameras")
    return f"{number} ({named}), {joined(rates)} pictures a second"


def _one_camera(camera: Camera, solved: SolvedCamera | None, system: UnitSystem) -> str:
    view = VIEW_BY_KEY.get(camera.view)
    parts = [view.name if view else camera.view]
    rate = f"{camera.timing.true_rate_hz:.4g} pictures a second"
    if camera.timing.capture_rate_hz is not None and camera.timing.real_per_clip != 1.0:
        rate += f" (played at {camera.timing.stored_rate_hz:.4g})"
    parts.append(rate)
    scale = camera.scale
    if solved is not None:
        ahead_m, aside_m = solved.numbers[3:5]
        parts.append(f"{length(math.hypot(ahead_m, aside_m), system)} from the rubber")
    elif scale is not None:
        if scale.distance_m is not None:
            parts.append(f"{length(scale.distance_m, system)} away")
        parts.append(f"scaled by a known {length(scale.length_m, system)}")
    else:
        parts.append("without a scale")
    if camera.duplicate_frames:
        parts.append(counted(len(camera.duplicate_frames), "repeated picture"))
    return ", ".join(parts)


def placed(delivery: Delivery) -> str:
    """Return how many points were placed in how many pictures."""
    landmarks, n_pictures, is_by_hand = set[str](), 0, True
    for camera in delivery.cameras:
        tracks = {k: t for k, t in camera.tracks.items() if len(t) and k != "ball"}
        if not tracks:
            continue
        landmarks |= tracks.keys()
        n_pictures += len(np.unique(np.concatenate([track.frames for track in tracks.values()])))
        is_by_hand &= all((track.origins == _BY_HAND).all() for track in tracks.values())
    if not landmarks:
        return "no body points placed"
    how = " by hand" if is_by_hand else ""
    own = dict.fromkeys(
        one.precision.placer
        for one in delivery.cameras
        if one.precision and any(np.isnan(track.u_px).any() for track in one.tracks.values())
    )
    whose = f", with the ± of {' and '.join(own)} for placing" if own else ""
    pictures = counted(n_pictures, "picture")
    return f"{counted(len(landmarks), 'body point')} in {pictures}{how}{whose}"


def event_definitions(keys: Iterable[str]) -> str:
    """Return what the events mean here: ``Foot contact = first touch of the front foot.``."""
    said = [
        f"{EVENT_BY_KEY[key].name} = {EVENT_BY_KEY[key].definition}"
        for key in keys
        if key in EVENT_BY_KEY
    ]
    return sentence("; ".join(said))
