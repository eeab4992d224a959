"""People's own placing precision, kept in the user's data folder for the next project.

The file is read and written here and nowhere else; nothing of it leaves this machine.
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import msgspec
import platformdirs

from deliverylab.core.errors import DeliveryLabError, ProjectFileError
from deliverylab.core.model.precision import PlacingPrecision
from deliverylab.core.store.layout import laid_out
from deliverylab.core.store.replacing import make_folder, write_atomically

FILE_NAME = "placing.json"


class _File(msgspec.Struct, kw_only=True, forbid_unknown_fields=True):
    """The whole record: one entry a person."""

    format: Literal["deliverylab-placing"] = "deliverylab-placing"
    version: Literal[1] = 1
    people: dict[str, PlacingPrecision] = {}


def personal_file() -> Path:
    """Return where the record is kept."""
    return Path(platformdirs.user_data_path("deliverylab", appauthor=False)) / FILE_NAME


def remembered(file: Path | None = None) -> dict[str, PlacingPrecision]:
    """Return everybody's figures by name; none where nothing was remembered yet.

    Raises
    ------
    ProjectFileError
        The file is damaged; it is left as it is.
    """
    path = file or personal_file()
    try:
        return msgspec.json.decode(path.read_bytes(), type=_File).people
    except FileNotFoundError:
        return {}
    except (OSError, msgspec.MsgspecError, DeliveryLabError) as problem:
        raise ProjectFileError(
            f"the record of placing precision cannot be read ({problem})",
            where=str(path),
            remedy="move it away; the next figures taken up begin a new one",
        ) from problem


def remember(precision: PlacingPrecision, file: Path | None = None) -> Path:
    """Keep a person's figures, in place of earlier ones of the same name; return the file.

    Raises
    ------
    ProjectFileError
        The file there is damaged.
    OutputError
        It cannot be written.
    """
    path = file or personal_file()
    people = remembered(path) | {precision.placer: precision}
    make_folder(path.parent)
    write_atomically(path, laid_out(msgspec.to_builtins(_File(people=people))).encode())
    return path
