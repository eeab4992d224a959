"""What goes to the terminal: tables in plain text, progress, and where a file was written."""

from __future__ import annotations

import contextlib
import io
import os
import sys
import textwrap
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from deliverylab.core.errors import OutputError, UsageError

WIDTH = 100
SUFFIX = ".delivery"


def prepare_streams() -> None:
    """Make sure that there is an output, and that it takes ± and − as something else if it must."""
    # None where the output was closed, or where there never was a terminal
    if sys.stdout is None:
        sys.stdout = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115 - until the end
    if sys.stderr is None:
        sys.stderr = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115
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


def counted(n: int, noun: str) -> str:
    """Return a number with its noun, in the plural where it is one."""
    return f"{n} {noun}" if n == 1 else f"{n} {noun}s"


def check_targets(*targets: str | None, inputs: Sequence[str | Path]) -> None:
    """Refuse outputs that would write over each other, over an input, or over a project.

    Parameters
    ----------
    targets : str or None
        Files, ``-`` for the standard output, or None for nowhere.
    inputs : sequence of str or pathlib.Path
        Files that the command reads.

    Raises
    ------
    UsageError
        Which one, and what is there.
    """
    if targets.count("-") > 1:
        raise UsageError("two tables cannot both be printed", remedy="write one to a file")
    taken = [os.path.realpath(path) for path in inputs]
    for target in targets:
        if target is None or target == "-":
            continue
        real = os.path.realpath(target)
        if real in taken or real.lower().endswith(SUFFIX):
            raise UsageError(
                "this would write over another file of this command, or over a project",
                where=target,
                remedy="choose another name",
            )
        taken.append(real)


def check_endings(**targets: str | None) -> None:
    """Refuse a file whose name says that it is something else, before anything is computed.

    Parameters
    ----------
    **targets : str or None
        Files by the ending they need, without its dot; None for nowhere.

    Raises
    ------
    UsageError
        Which one.
    """
    for ending, target in targets.items():
        if target is not None and Path(target).suffix.lower() != f".{ending}":
            raise UsageError(
                f"this is written as {ending.upper()}",
                where=target,
                remedy=f"let its name end in .{ending}",
            )


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
        _print_exactly(make())
        return True
    from deliverylab.core.report.tables import write_table

    write_table(make(), target)
    note(f"written: {target}")
    return False


def _print_exactly(text: str) -> None:
    """Print as UTF-8 with the text's own line ends, whatever the terminal's encoding is."""
    raw = getattr(sys.stdout, "buffer", None)
    if raw is None:
        sys.stdout.write(text)
        return
    sys.stdout.flush()
    raw.write(text.encode())


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
    """Refuse to write over a file that is there; over a project only where that is allowed.

    Raises
    ------
    OutputError
        It is there.
    """
    if not os.path.lexists(path):
        return
    if not is_allowed:
        raise OutputError(
            "there is a file of that name already",
            where=path,
            remedy='add to it with "deliverylab add", choose another name, or say --overwrite',
        )
    if not path.lower().endswith(SUFFIX):
        raise OutputError(
            f"only a project, a file that ends in {SUFFIX}, is written over",
            where=path,
            remedy="choose another name",
        )
