"""What goes to the terminal: tables in plain text, progress, and where a file was written."""

from __future__ import annotations

import contextlib
import io
import sys
import textwrap
from collections.abc import Callable, Iterator, Sequence

from deliverylab.core.errors import OutputError, UsageError

WIDTH = 100


def prepare_streams() -> None:
    """Make sure that ± and − reach a terminal that cannot show them as something else."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            with contextlib.suppress(OSError, ValueError):
                stream.reconfigure(errors="replace")


def say(text: str = "") -> None:
    """Print a line."""
    print(text)


def say_wrapped(text: str, *, indent: int = 0, hanging: int = 2) -> None:
    """Print a paragraph, wrapped; further lines stand `hanging` further in."""
    first, further = " " * indent, " " * (indent + hanging)
    print(textwrap.fill(text, WIDTH, initial_indent=first, subsequent_indent=further))


def note(text: str) -> None:
    """Print a remark that is no part of the output."""
    print(f"note: {text}", file=sys.stderr)


def check_single_stdout(*targets: str | None) -> None:
    """Refuse two outputs on the same stream.

    Raises
    ------
    UsageError
        More than one target is ``-``.
    """
    if sum(target == "-" for target in targets) > 1:
        raise UsageError("two tables cannot both be printed", remedy="write one to a file")


def deliver(make: Callable[[], str], target: str | None) -> bool:
    """Write a table to a file, or print it; return whether it was printed.

    Parameters
    ----------
    make : callable
        Gives the text; called only when it is wanted.
    target : str or None
        A file, ``-`` for the standard output, or None for nowhere.

    Raises
    ------
    OutputError
        The file cannot be written.
    """
    if target is None:
        return False
    if target == "-":
        sys.stdout.write(make())
        return True
    from deliverylab.core.report.tables import write_table

    write_table(make(), target)
    note(f"written: {target}")
    return False


def columns(rows: Sequence[Sequence[str]], *, indent: int = 0) -> None:
    """Print rows in columns, each as wide as its widest cell; the last is left open."""
    if not rows:
        return
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    for row in rows:
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=True)]
        print(" " * indent + "  ".join(cells).rstrip())


@contextlib.contextmanager
def progress(what: str) -> Iterator[Callable[[float], None]]:
    """Show a bar on a terminal while something takes long; elsewhere nothing.

    Yields
    ------
    callable
        Takes the part done, 0 to 1.
    """
    if not sys.stderr.isatty():
        yield lambda _part: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=1.0)
        yield lambda part: bar.update(task, completed=part)


def refuse_existing(path: str, *, is_allowed: bool) -> None:
    """Refuse to write over a file that is there.

    Raises
    ------
    OutputError
        It is there.
    """
    from pathlib import Path

    if not is_allowed and Path(path).exists():
        raise OutputError(
            "there is a file of that name already",
            where=path,
            remedy='add to it with "deliverylab add", choose another name, or say --overwrite',
        )
