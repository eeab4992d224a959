"""A remark where results rest on cameras that were solved before something changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from deliverylab.cli.output import note

if TYPE_CHECKING:
    from collections.abc import Iterable

    from deliverylab.core.model.delivery import Delivery
    from deliverylab.core.model.project import ProjectRecord


def note_old_solves(record: ProjectRecord, deliveries: Iterable[Delivery]) -> None:
    """Say of which deliveries the field, its clicks or the clips' times changed since the solve."""
    from deliverylab.core.workflow.space_freshness import is_out_of_date

    for delivery in deliveries:
        if is_out_of_date(record, delivery) == "field":
            note(
                f"{delivery.name}: the cameras were solved before the field, its clicks or the "
                "clips' times changed; solve them again"
            )
