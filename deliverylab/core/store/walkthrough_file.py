"""A walkthrough's script as a JSON file, to be edited by hand and used for another pair."""

from __future__ import annotations

from pathlib import Path

import msgspec

from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.walkthrough import Walkthrough


def script_json(script: Walkthrough) -> str:
    """Return a script as JSON text that a person can read; all lengths of time in seconds."""
    return msgspec.json.format(msgspec.json.encode(script), indent=2).decode() + "\n"


def read_script(path: str | Path, pair: tuple[str, str]) -> Walkthrough:
    """Read a script; it is used for this pair, whichever it was written for.

    Parameters
    ----------
    path : str or pathlib.Path
        As `script_json` writes it; what a script leaves out has its default.
    pair : (str, str)
        Names of the athlete's and the model delivery.

    Raises
    ------
    NotFoundError
        No such file.
    InputValueError
        It cannot be read, or is no script; the message says where in it.
    """
    source = Path(path)
    try:
        data = source.read_bytes()
    except FileNotFoundError as problem:
        raise NotFoundError(
            "there is no such script", where=str(source), remedy="write one with --write-script"
        ) from problem
    except OSError as problem:
        raise InputValueError(
            f"the script cannot be read: {problem.strerror or problem}", where=str(source)
        ) from problem
    try:
        script = msgspec.json.decode(data, type=Walkthrough)
    except (msgspec.MsgspecError, UnicodeDecodeError, InputValueError) as problem:
        raise InputValueError(
            f"this is no script of a walkthrough ({problem})",
            where=str(source),
            remedy="write one with --write-script and change that",
        ) from problem
    return msgspec.structs.replace(script, pair=pair)
