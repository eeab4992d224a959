"""What a person should check before the numbers are believed."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from deliverylab.core.model.delivery import Delivery
    from deliverylab.core.model.project import Project
    from deliverylab.core.workflow.review_entry import Look


def to_look_at(project: Project, delivery: Delivery) -> tuple[Look, ...]:
    """List the positions of a delivery that a person should check, the worst first.

    Parameters
    ----------
    project : Project
        Other deliveries of the athlete tell how long the limbs are.
    delivery : Delivery
    """
    from deliverylab.core.metrics.evaluate import evaluate
    from deliverylab.core.workflow import review

    return review.to_look_at(project.record, delivery, evaluate(delivery))
