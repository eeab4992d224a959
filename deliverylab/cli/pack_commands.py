"""``pack`` and ``unpack``: a project with its clips as one zip, to be handed on."""

from __future__ import annotations

import argparse
import os
from pathlib import Path
from typing import Any

from deliverylab.cli.options import add_project
from deliverylab.cli.output import check_targets, note, progress, say, say_wrapped
from deliverylab.core.errors import OutputError, UsageError

_TEXT = """\
Write one zip with a project and its clips that opens on another machine with the same results.

Each clip is cut to what the project shows and leans on, and coded anew (H.264, same size, same times),
so that nothing a phone wrote into the file comes along: no place, no date, no device. Sound stays
behind unless --with-sound is said. Nothing is sent anywhere: the zip lies where you say.

--without-names puts aliases (Athlete A, Athlete A 1) for athletes, deliveries, cameras and people who
placed landmarks, and leaves out title, organisation, notes, voices and file names.
--blur-faces blurs the athlete's head where landmarks, or the detector where it is installed, tell where
it is; where they do not, the whole picture. Other people are blurred only where a simple finder sees a
face, and it misses many: look through the clips before you hand them on.
A text in the zip says what was done, clip by clip."""
_EPILOG = """\
examples:
  deliverylab pack may.delivery may.zip
  deliverylab pack may.delivery study.zip --without-names --blur-faces --delivery "Ana 1"
  deliverylab unpack study.zip study
"""


def add_commands(commands: Any) -> None:
    """Add ``pack`` and ``unpack``."""
    pack = commands.add_parser(
        "pack",
        help="one zip of a project and its clips, to hand on",
        description=_TEXT,
        epilog=_EPILOG,
    )
    add_project(pack)
    pack.add_argument("out", metavar="OUT.zip", help="where to")
    pack.add_argument(
        "--delivery", metavar="NAME", action="append", help="which delivery (default: all)"
    )
    pack.add_argument("--blur-faces", action="store_true", help="blur heads")
    pack.add_argument("--without-names", action="store_true", help="aliases in place of names")
    pack.add_argument("--whole-clips", action="store_true", help="do not cut the clips")
    pack.add_argument("--with-sound", action="store_true", help="keep sound and voices")
    pack.add_argument("--overwrite", action="store_true", help="replace a zip that is there")
    pack.set_defaults(run=_pack)
    unpack = commands.add_parser(
        "unpack",
        help="take a packed project out of its zip",
        description="Take a packed project and its clips out of a zip, into a new or empty folder.",
    )
    unpack.add_argument("archive", metavar="FILE.zip", help="what pack wrote")
    unpack.add_argument("folder", metavar="FOLDER", help="made where it is not there")
    unpack.set_defaults(run=_unpack)


def _pack(arguments: argparse.Namespace) -> int:
    from deliverylab.core.store.archive import is_archive
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project
    from deliverylab.core.workflow.packing import pack
    from deliverylab.core.workflow.packing_choice import PackOptions

    out = Path(arguments.out)
    if not is_archive(out):
        raise UsageError(
            "a packed project is a zip", where=str(out), remedy="let its name end in .zip"
        )
    record = load_project(arguments.project)
    check_targets(arguments.out, inputs=files_of(record, arguments.project))
    if os.path.lexists(out) and not arguments.overwrite:
        raise OutputError(
            "there is a file of that name already",
            where=str(out),
            remedy="choose another name, or say --overwrite",
        )
    options = PackOptions(
        blurs_faces=arguments.blur_faces,
        leaves_names_out=arguments.without_names,
        is_whole=arguments.whole_clips,
        has_sound=arguments.with_sound,
        deliveries=None if arguments.delivery is None else tuple(arguments.delivery),
    )
    with progress("coding the clips anew") as show:
        packed = pack(record, arguments.project, out, options, progress=show)
    for line in packed.note.splitlines():
        say_wrapped(line) if line else say()
    say(f"written: {packed.path}, {packed.path.stat().st_size / 1e6:.1f} MB")
    for clip in packed.clips:
        if clip.is_missing:
            note(f"not packed, for it cannot be found: the clip of {clip.delivery}, {clip.camera}")
        if clip.n_coarse:
            note(
                f"{clip.name}: no head was located in {clip.n_coarse} of {clip.n_frames} pictures; "
                "they are blurred all over; place or track head_top and neck there"
            )
    return 0


def _unpack(arguments: argparse.Namespace) -> int:
    from deliverylab.core.store.archive import unpack_archive

    say(f"unpacked: {unpack_archive(arguments.archive, arguments.folder)}")
    return 0
