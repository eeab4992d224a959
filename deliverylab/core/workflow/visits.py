"""An athlete's deliveries over the project files of a folder: which there are, and what is odd.

Nothing is written, and a file that cannot be read is named and passed over.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from deliverylab.core.errors import DeliveryLabError, NotFoundError
from deliverylab.core.model.delivery import ClipReference, Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.projectfile import SUFFIX, load_project
from deliverylab.core.units import UnitSystem

SAME_THROW_S = 0.5
"""Marks of one event in one clip that are farther apart are of two throws."""


@dataclass(frozen=True)
class Kept:
    """A delivery, the name of the project file that holds it, and that project's units."""

    delivery: Delivery
    file: str
    unit_system: UnitSystem = "metric"


@dataclass(frozen=True)
class Findings:
    """What was found in a folder.

    Attributes
    ----------
    kept : tuple of Kept
        By date, then file and place in it.
    remarks : tuple of str
        Files and deliveries that were passed over, each with why.
    """

    kept: tuple[Kept, ...]
    remarks: tuple[str, ...]

    @property
    def deliveries(self) -> tuple[Delivery, ...]:
        """The deliveries."""
        return tuple(each.delivery for each in self.kept)

    @property
    def unit_system(self) -> UnitSystem:
        """Units of the latest delivery's project."""
        return self.kept[-1].unit_system if self.kept else "metric"

    @property
    def athletes(self) -> tuple[str, ...]:
        """Names of the athletes; who has deliveries of most days comes first."""
        days: dict[str, set[str]] = {}
        for each in self.deliveries:
            days.setdefault(each.athlete.name, set()).add(each.date)
        return tuple(sorted(days, key=lambda name: (-len(days[name]), name)))


def deliveries_in(folder: str | Path, opened: tuple[Path, ProjectRecord] | None = None) -> Findings:
    """Return all deliveries of the project files of a folder, not of folders in it.

    Parameters
    ----------
    folder : str or pathlib.Path
        Where the ``.delivery`` files lie.
    opened : (Path, ProjectRecord), optional
        A project that is being worked on, where it lies in this folder: it stands in the place of
        its file.

    Raises
    ------
    NotFoundError
        No such folder.
    """
    place = Path(folder)
    if not place.is_dir():
        raise NotFoundError(
            "there is no such folder", where=str(folder), remedy="name the folder of the projects"
        )
    records: dict[str, ProjectRecord] = {}
    remarks: list[str] = []
    for path in sorted(place.iterdir()):
        if path.suffix.lower() != SUFFIX or path.name.startswith("."):
            continue
        try:
            if opened is not None and path.absolute() == opened[0].absolute():
                records[path.name] = opened[1]
            else:
                records[path.name] = load_project(path)
        except DeliveryLabError as problem:
            remarks.append(f"{path.name} passed over: {problem.what}")
    kept = [
        Kept(each, file, record.unit_system)
        for file, record in records.items()
        for each in record.deliveries
    ]
    kept.sort(key=lambda each: each.delivery.date)
    return Findings(tuple(kept), tuple(remarks))


def athlete_deliveries(findings: Findings, athlete: str) -> Findings:
    """Return one athlete's deliveries that can be set against each other over visits.

    Parameters
    ----------
    findings : Findings
        Of a folder.
    athlete : str
        Name; capitals and spaces around it do not matter.

    Returns
    -------
    Findings
        Without those that have no date, that throw with another hand than most, or that
        hold a throw that another project holds too; the remarks say so.

    Raises
    ------
    NotFoundError
        No delivery of this athlete; the message lists the names.
    """
    mine = [each for each in findings.kept if _alike(each.delivery.athlete.name, athlete)]
    if not mine:
        names = ", ".join(findings.athletes) or "nobody yet"
        raise NotFoundError(
            "no delivery of this athlete", where=athlete, remedy=f"there are: {names}"
        )
    remarks = list(findings.remarks)
    dated = [each for each in mine if each.delivery.date]
    remarks += [
        f"{_where(each)} passed over: it has no date" for each in mine if not each.delivery.date
    ]
    # one slip of the newest delivery must not take all that was before out of the course
    hands = [each.delivery.athlete.hand for each in reversed(dated)]
    hand = max(hands, key=hands.count, default=None)
    kept: list[Kept] = []
    for each in dated:
        theirs = each.delivery.athlete.hand
        if theirs != hand:
            remarks.append(f"{_where(each)} passed over: {theirs}-handed, {hand}-handed in most")
            continue
        twin = next((other for other in kept if _is_same_throw(other, each)), None)
        if twin is None:
            kept.append(each)
        else:
            remarks.append(f"{_where(each)} passed over: the same throw as {_where(twin)}")
    return Findings(tuple(kept), tuple(remarks))


def _alike(name: str, other: str) -> bool:
    return " ".join(name.split()).casefold() == " ".join(other.split()).casefold()


def _where(each: Kept) -> str:
    return f"{each.delivery.name} in {each.file}"


def _is_same_throw(one: Kept, other: Kept) -> bool:
    """Return whether two deliveries hold one throw: the same clip about the same time, or all alike.

    A copy of a project would otherwise count each throw twice, and repeats would seem to agree better
    than they do.
    """
    a, b = one.delivery, other.delivery
    if a.date != b.date:
        return False
    if a.cameras and a.cameras == b.cameras:
        return True
    return any(
        _is_same_clip(mine.clip, theirs.clip)
        and all(
            abs(mine.marks[event].time_s - theirs.marks[event].time_s) < SAME_THROW_S
            for event in mine.marks.keys() & theirs.marks.keys()
        )
        for mine in a.cameras
        for theirs in b.cameras
    )


def _is_same_clip(one: ClipReference | None, other: ClipReference | None) -> bool:
    """Return whether two references are of the same file, wherever it lies."""
    if one is None or other is None:
        return False
    ones = (one.size_bytes, one.head_sha256, one.tail_sha256)
    return ones == (other.size_bytes, other.head_sha256, other.tail_sha256)
