"""What the athlete works on after the delivery on the first stage, as answers and intents."""

from __future__ import annotations

from typing import Any

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import replace
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.plan import MOST_PRIORITIES, Plan, Priority
from deliverylab.core.model.plan_changes import SetPlan
from deliverylab.shell.plan_content import PriorityCard
from deliverylab.shell.session_chain import SessionChain


class SessionPlan(SessionChain):
    """The plan of the athlete's delivery: suggested, chosen, changed."""

    # ------------------------------------------------------------------------------- answers

    def work_plan(self) -> Plan:
        """Return what is worked on; an empty plan where there is none."""
        own = self.delivery("athlete")
        return Plan() if own is None or own.plan is None else own.plan

    def priority_cards(self) -> tuple[PriorityCard, ...]:
        """Return the priorities as they are shown.

        Raises
        ------
        ProjectFileError
            The instructor's library is damaged.
        """
        own = self.delivery("athlete")
        if own is None or own.plan is None:
            return ()
        from deliverylab.core.workflow.planning import local_today
        from deliverylab.shell.plan_content import priority_card

        library, system, today = self.library(), self.record.unit_system, local_today()
        return tuple(
            priority_card(one, own.athlete, library, system, today) for one in own.plan.priorities
        )

    def plan_choices(self) -> tuple[Difference, ...]:
        """Return the clear differences that are not worked on yet, by rank."""
        taken = {priority.key for priority in self.work_plan().priorities}
        return tuple(
            each
            for each in self.differences()
            if each.verdict == "clear" and (each.metric, each.event) not in taken
        )

    def plan_cautions(self) -> tuple[str, ...]:
        """Return what to mind with the plan as a whole."""
        own = self.delivery("athlete")
        if own is None:
            return ()
        from deliverylab.core.workflow.planning import local_today, plan_cautions

        return plan_cautions(self.work_plan(), own.athlete, local_today())

    def library_place(self) -> str:
        """Return for which projects the library is kept."""
        from deliverylab.core.store.library import library_file

        is_beside = self.path is not None and library_file(self.path).parent == self.path.parent
        return "Kept for the projects of this folder" if is_beside else "Kept for all your projects"

    # ------------------------------------------------------------------------------- intents

    def set_plan(self, plan: Plan | None) -> None:
        """Set, replace or remove what is worked on; one with nothing in it is none."""
        own = self._planned_delivery()
        self._do(SetPlan(delivery=own.name, plan=None if plan == Plan() else plan))

    def suggest_plan(self) -> bool:
        """Set what the comparison suggests, the note is kept; return whether it suggests anything.

        Raises
        ------
        DeliveryLabError
            The instructor's library is damaged.
        """
        from deliverylab.core.workflow.planning import local_today, suggested_plan

        own = self._planned_delivery()
        found = suggested_plan(own, self.chain(), self.library(), today=local_today())
        if found.priorities:
            self.set_plan(replace(found, note=self.work_plan().note))
        return bool(found.priorities)

    def add_priority(self, difference: Difference) -> None:
        """Work on this difference as well, the last of three.

        Raises
        ------
        InputValueError
            There are three already.
        """
        from deliverylab.core.workflow.planning import RECHECK_AFTER, local_today, priority_for

        own, plan, today = self._planned_delivery(), self.work_plan(), local_today()
        under_age = own.athlete.is_minor_in(today.year)
        added = priority_for(difference, self.library(), is_minor=under_age)
        again = plan.recheck_date or (today + RECHECK_AFTER).isoformat()
        self.set_plan(replace(plan, priorities=(*plan.priorities, added), recheck_date=again))

    def change_priority(self, number: int, **fields: Any) -> None:
        """Change parts of a priority, counted from 0."""
        self._set_priority(number, replace(self.work_plan().priorities[number], **fields))

    def choose_drill(self, number: int, name: str) -> None:
        """Have a priority's drill be this one of the library, or one of the instructor's own."""
        from deliverylab.core.compare.drills import drill_named, drills_with
        from deliverylab.core.workflow.planning import own_drill, with_drill

        priority = self.work_plan().priorities[number]
        found = drill_named(name, drills_with(self.library()))
        self._set_priority(number, with_drill(priority, found or own_drill(name, priority.how)))

    def move_priority(self, number: int, step: int) -> None:
        """Move a priority up (-1) or down (+1)."""
        priorities = list(self.work_plan().priorities)
        if 0 <= number + step < len(priorities):
            priorities.insert(number + step, priorities.pop(number))
            self.change_plan(priorities=tuple(priorities))

    def remove_priority(self, number: int) -> None:
        """Take a priority out of the plan."""
        priorities = list(self.work_plan().priorities)
        del priorities[number]
        self.change_plan(priorities=tuple(priorities))

    def change_plan(self, **fields: Any) -> None:
        """Change parts of the plan."""
        self.set_plan(replace(self.work_plan(), **fields))

    @property
    def has_room_in_plan(self) -> bool:
        """Whether another priority can be added."""
        return len(self.work_plan().priorities) < MOST_PRIORITIES

    def _set_priority(self, number: int, priority: Priority) -> None:
        priorities = list(self.work_plan().priorities)
        priorities[number] = priority
        self.change_plan(priorities=tuple(priorities))

    def _planned_delivery(self) -> Delivery:
        own = self.delivery("athlete")
        if own is None:
            raise InputValueError("there is no delivery to plan for", remedy="add a clip first")
        return own
