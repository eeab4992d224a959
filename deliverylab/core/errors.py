"""Errors a user can act on: what failed, where, and what to do about it.

The core raises these; the command line prints one line and leaves with the class's exit code; the
window shows the same three parts.  Anything else that escapes is a bug and is reported as one.
"""

from __future__ import annotations

from functools import partial
from typing import Any, ClassVar


class DeliveryLabError(Exception):
    """Say what failed, where, and what the user can do.

    Parameters
    ----------
    what : str
        One clause without a full stop: what could not be done.
    where : str, optional
        The file, delivery, option or value concerned.
    remedy : str, optional
        What to do next, as one sentence or clause.

    Attributes
    ----------
    exit_code : int
        Exit status of the command line for this kind of error.
    """

    exit_code: ClassVar[int] = 1

    def __init__(self, what: str, *, where: str = "", remedy: str = "") -> None:
        super().__init__(what, where, remedy)
        self.what = what
        self.where = where
        self.remedy = remedy

    def __str__(self) -> str:
        """Return the three parts on one line."""
        text = f"{self.what} ({self.where})" if self.where else self.what
        return f"{text}: {self.remedy}" if self.remedy else text

    def __reduce__(self) -> tuple[Any, ...]:
        """Rebuild with named parts: the process that decodes clips sends its errors pickled."""
        return partial(type(self), self.what, where=self.where, remedy=self.remedy), ()


class UsageError(DeliveryLabError):
    """The request contradicts itself or lacks a part."""

    exit_code = 2


class ClipError(DeliveryLabError):
    """A clip cannot be opened, decoded or written."""

    exit_code = 3


class ProjectFileError(DeliveryLabError):
    """A project file is damaged, or is no project file; it is left untouched."""

    exit_code = 4


class NewerVersionError(ProjectFileError):
    """A project file was written by a newer release; it is left untouched."""

    exit_code = 5


class NotFoundError(DeliveryLabError):
    """A delivery, camera, landmark, event or file of that name does not exist."""

    exit_code = 6


class InputValueError(DeliveryLabError):
    """A number or text is outside what it can be, with the line or option named."""

    exit_code = 7


class OutputError(DeliveryLabError):
    """A result cannot be written where it was asked for."""

    exit_code = 8


class SolveError(DeliveryLabError):
    """The cameras cannot be solved well enough from what was clicked; nothing is shown from them."""

    exit_code = 9


EXIT_CODES: tuple[type[DeliveryLabError], ...] = (
    DeliveryLabError,
    UsageError,
    ClipError,
    ProjectFileError,
    NewerVersionError,
    NotFoundError,
    InputValueError,
    OutputError,
    SolveError,
)
