"""Edit one camera of a project file, as most commands do."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from deliverylab.core.model.changes import Change
from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.project import Project


def edit_camera(
    arguments: argparse.Namespace, make: Callable[[Project, Camera], Change]
) -> tuple[Project, Camera]:
    """Carry out and save ``make(project, camera)``; return the project and the camera as it is now."""
    from deliverylab.core.workflow.editing import edit_project_file

    def change(project: Project) -> Change:
        return make(project, project.camera(arguments.delivery, arguments.camera))

    project = edit_project_file(arguments.project, change)
    return project, project.camera(arguments.delivery, arguments.camera)
