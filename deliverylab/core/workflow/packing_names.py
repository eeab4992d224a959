"""Leave out of a project what names people: aliases that hold together, and no free text."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import msgspec

from deliverylab.core.compare.parties import party_of
from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.plan import Plan
from deliverylab.core.model.precision import PlacingRun
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.space import SpaceSolution
from deliverylab.core.model.walkthrough import Walkthrough
from deliverylab.core.workflow.packing_cut import with_fresh_solves
from deliverylab.core.workflow.packing_points import nameless_keys

replace = msgspec.structs.replace
_LEAST_LETTERS = 3
"""A part of a name shorter than this is a word like any other."""


@dataclass(frozen=True)
class Aliases:
    """Which name stands for which.

    Attributes
    ----------
    athletes, deliveries : dict of str to str
        By their true names.
    cameras : dict of (str, str) to str
        By true delivery and camera name.
    people : dict of str to str
        Those who placed landmarks.
    """

    athletes: dict[str, str]
    deliveries: dict[str, str]
    cameras: dict[tuple[str, str], str]
    people: dict[str, str]

    def told(self, text: str) -> str:
        """Return a text with every true name, or part of one, in it replaced."""
        people = {**self.athletes, **self.people}
        parts = {
            part: alias
            for true, alias in people.items()
            for part in re.findall(r"\w+", true)
            if len(part) >= _LEAST_LETTERS
        }
        return _replaced(text, {**parts, **people, **self.deliveries})


def _replaced(text: str, names: dict[str, str]) -> str:
    """Return a text with whole names replaced, all at once, a longer one before a shorter.

    A name ends where letters and digits do; the key of a point joins its words by lines below.
    """
    if not names:
        return text
    longest = sorted(names, key=len, reverse=True)
    # a group for each: what counts as the same letter, large or small, is for the search to say
    each = "|".join(f"({re.escape(name)})" for name in longest)
    return re.sub(
        rf"(?<![^\W_])(?:{each})(?![^\W_])",
        lambda found: names[longest[(found.lastindex or 1) - 1]],
        text,
        flags=re.IGNORECASE,
    )


def aliases_for(record: ProjectRecord) -> Aliases:
    """Return aliases by order of appearance: ``Athlete A``, her deliveries ``Athlete A 1`` and on.

    Cameras are called by their view, for a name like ``Eva's phone`` tells who was there.
    """
    athletes: dict[str, str] = {}
    deliveries: dict[str, str] = {}
    cameras: dict[tuple[str, str], str] = {}
    people: dict[str, str] = {}
    n_thrown: Counter[str] = Counter()
    for delivery in record.deliveries:
        true = delivery.athlete.name
        alias = athletes.setdefault(true, f"Athlete {_letters(len(athletes))}")
        n_thrown[true] += 1
        deliveries[delivery.name] = f"{alias} {n_thrown[true]}"
        n_filmed: Counter[str] = Counter()
        for camera in delivery.cameras:
            n_filmed[camera.view] += 1
            again = f" {n_filmed[camera.view]}" if n_filmed[camera.view] > 1 else ""
            cameras[delivery.name, camera.name] = f"{camera.view}{again}"
        for person in _people_of(delivery):
            people.setdefault(person, f"Person {len(people) + 1}")
    return Aliases(athletes, deliveries, cameras, people)


def _people_of(delivery: Delivery) -> Iterable[str]:
    for run in delivery.placing_runs:
        yield from (name for name in (run.placer, run.original_placer) if name)
    for camera in delivery.cameras:
        if camera.precision is not None and camera.precision.placer:
            yield camera.precision.placer


def _letters(number: int) -> str:
    """Return A to Z, then AA, AB and on."""
    head, last = divmod(number, 26)
    return (_letters(head - 1) if head else "") + chr(ord("A") + last)


def without_names(record: ProjectRecord, aliases: Aliases) -> ProjectRecord:
    """Return a record in which nobody is named.

    Title, organisation, notes and the voice of a walkthrough go; captions, cues, drills and points of
    the field stay, with names in them replaced, and so do the sets compared, as far as they still hold.
    Clips' file names are left to whoever writes the clips anew.

    Parameters
    ----------
    record : ProjectRecord
        As it is.
    aliases : Aliases
        Of this record.
    """
    keys = nameless_keys(record, aliases.told)
    renamed = replace(
        record,
        title="",
        organisation="",
        deliveries=tuple(_nameless(delivery, aliases, keys) for delivery in record.deliveries),
        pair=None if record.pair is None else _pair(record.pair, aliases),
        walkthroughs=tuple(_nameless_script(each, aliases) for each in record.walkthroughs),
    )
    renamed = replace(
        renamed,
        own_set=_side(renamed, aliases.told(record.own_set)),
        partner_set=_side(renamed, aliases.told(record.partner_set)),
    )
    return with_fresh_solves(record, renamed)


def _side(record: ProjectRecord, text: str) -> str:
    """Return who stands on a side; nothing where that is of deliveries that are gone, by their names."""
    try:
        party_of(record, text)
    except (NotFoundError, InputValueError):
        return ""
    return text


def _pair(pair: tuple[str, str], aliases: Aliases) -> tuple[str, str]:
    a, b = pair
    return aliases.deliveries.get(a, ""), aliases.deliveries.get(b, "")


def _nameless(delivery: Delivery, aliases: Aliases, keys: dict[str, str]) -> Delivery:
    def camera_name(name: str) -> str:
        return aliases.cameras.get((delivery.name, name), "camera")

    changed: dict[str, Any] = {}
    if delivery.space is not None:
        changed["space"] = _nameless_solve(delivery.space, delivery.name, aliases, keys)
    if delivery.plan is not None:
        changed["plan"] = _nameless_plan(delivery.plan, aliases)
    if delivery.field is not None:
        points = tuple(
            replace(
                point,
                key=keys[point.key],
                name=aliases.told(point.name),
                above=keys[point.above],
            )
            for point in delivery.field.points
        )
        changed["field"] = replace(delivery.field, points=points)
    return replace(
        delivery,
        name=aliases.deliveries[delivery.name],
        athlete=replace(delivery.athlete, name=aliases.athletes[delivery.athlete.name]),
        notes="",
        cameras=tuple(
            _nameless_camera(camera, camera_name(camera.name), aliases, keys)
            for camera in delivery.cameras
        ),
        placing_runs=tuple(
            _nameless_run(run, number, camera_name, aliases)
            for number, run in enumerate(delivery.placing_runs, start=1)
        ),
        cameras_from=aliases.deliveries.get(delivery.cameras_from, ""),
        **changed,
    )


def _nameless_camera(camera: Camera, name: str, aliases: Aliases, keys: dict[str, str]) -> Camera:
    precision = camera.precision
    if precision is not None:
        precision = replace(precision, placer=aliases.people.get(precision.placer, ""))
    control = {keys[key]: click for key, click in camera.control.items()}
    return replace(camera, name=name, precision=precision, control=control)


def _nameless_run(run: PlacingRun, number: int, camera_name: Any, aliases: Aliases) -> PlacingRun:
    return replace(
        run,
        name=f"run {number}",
        placer=aliases.people[run.placer],
        original_placer=aliases.people.get(run.original_placer, ""),
        placed=tuple(each._replace(camera=camera_name(each.camera)) for each in run.placed),
        waiting=tuple(each._replace(camera=camera_name(each.camera)) for each in run.waiting),
    )


def _nameless_solve(
    space: SpaceSolution, delivery: str, aliases: Aliases, keys: dict[str, str]
) -> SpaceSolution:
    def camera_name(name: str) -> str:
        return aliases.cameras.get((delivery, name), "camera")

    return replace(
        space,
        cameras=tuple(replace(each, name=camera_name(each.name)) for each in space.cameras),
        points_m={keys[key]: place_m for key, place_m in space.points_m.items()},
        residuals=tuple(
            replace(each, point=keys[each.point], camera=camera_name(each.camera))
            for each in space.residuals
        ),
        findings=tuple(
            replace(
                each,
                what=_with_cameras(each.what, delivery, aliases),
                where=_with_cameras(each.where, delivery, aliases),
                remedy=_with_cameras(each.remedy, delivery, aliases),
            )
            for each in space.findings
        ),
        deliveries=tuple(
            aliases.deliveries.get(name, "another delivery") for name in space.deliveries
        ),
    )


def _with_cameras(text: str, delivery: str, aliases: Aliases) -> str:
    own = {true: alias for (of, true), alias in aliases.cameras.items() if of == delivery}
    return aliases.told(_replaced(text, own))


def _nameless_plan(plan: Plan, aliases: Aliases) -> Plan:
    told = aliases.told
    return replace(
        plan,
        note="",
        priorities=tuple(
            replace(
                each,
                cue=told(each.cue),
                drill=told(each.drill),
                how=told(each.how),
                caution=told(each.caution),
            )
            for each in plan.priorities
        ),
    )


def _nameless_script(script: Walkthrough, aliases: Aliases) -> Walkthrough:
    return replace(
        script,
        pair=_pair(script.pair, aliases),
        voice="",
        stops=tuple(replace(stop, caption=aliases.told(stop.caption)) for stop in script.stops),
    )
