"""Edits of what is handed over: a delivery's plan, and the script of a walkthrough."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import msgspec

from deliverylab.core.errors import UsageError
from deliverylab.core.model.changes import replace_value
from deliverylab.core.model.plan import Plan
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.walkthrough import Walkthrough


@dataclass(frozen=True, kw_only=True)
class SetPlan:
    """Set, replace or remove (None) what is worked on after a delivery."""

    delivery: str
    plan: Plan | None
    label: ClassVar[str] = "Set plan"
    touches: ClassVar[frozenset[str]] = frozenset({"plan"})

    @property
    def key(self) -> tuple[str, ...]:
        """One delivery."""
        return ("plan", self.delivery)

    def apply(self, project: Project) -> SetPlan:
        """Set it."""
        owner = project.delivery(self.delivery)
        project.replace_delivery(msgspec.structs.replace(owner, plan=self.plan))
        return replace_value(self, plan=owner.plan)


@dataclass(frozen=True, kw_only=True)
class SetWalkthrough:
    """Set, replace or remove (None) the script of a pair's walkthrough."""

    pair: tuple[str, str]
    walkthrough: Walkthrough | None
    label: ClassVar[str] = "Set walkthrough"
    touches: ClassVar[frozenset[str]] = frozenset({"walkthrough"})

    @property
    def key(self) -> tuple[str, ...]:
        """One pair."""
        return ("walkthrough", *self.pair)

    def apply(self, project: Project) -> SetWalkthrough:
        """Put it in the place of the one of the same pair; scripts stand in the order of their pairs.

        Raises
        ------
        UsageError
            The script is another pair's.
        """
        if self.walkthrough is not None and self.walkthrough.pair != self.pair:
            raise UsageError(
                "the script belongs to another pair", where=" and ".join(self.walkthrough.pair)
            )
        before = project.record.walkthrough(self.pair)
        kept = [each for each in project.record.walkthroughs if each.pair != self.pair]
        if self.walkthrough is not None:
            kept.append(self.walkthrough)
        kept.sort(key=lambda each: each.pair)
        project.record = msgspec.structs.replace(project.record, walkthroughs=tuple(kept))
        return replace_value(self, walkthrough=before)


def scripts_following(
    record: ProjectRecord, name: str, new_name: str | None
) -> tuple[SetWalkthrough, ...]:
    """Return what becomes of the scripts of a delivery that gets another name, or goes (None).

    To be carried out with that edit, as one step.
    """
    changes: list[SetWalkthrough] = []
    for script in record.walkthroughs:
        if name not in script.pair or name == new_name:
            continue
        changes.append(SetWalkthrough(pair=script.pair, walkthrough=None))
        if new_name is not None:
            first, second = (new_name if one == name else one for one in script.pair)
            renamed = msgspec.structs.replace(script, pair=(first, second))
            changes.append(SetWalkthrough(pair=renamed.pair, walkthrough=renamed))
    return tuple(changes)
