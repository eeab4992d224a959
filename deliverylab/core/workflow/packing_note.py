"""The text that lies in a packed zip: what was done to the clips, and what was not."""

from __future__ import annotations

from dataclasses import dataclass, replace

from deliverylab.core.workflow.packing_choice import PackOptions
from deliverylab.core.workflow.packing_names import Aliases


@dataclass(frozen=True, kw_only=True)
class PackedClip:
    """What became of a clip.

    Attributes
    ----------
    delivery, camera, name : str
        Whose, and its file name within the zip.
    n_whole : int
        Frames of the whole clip.
    first_frame, last_frame : int
        Which of them are packed, both included.
    n_located, n_coarse : int
        With faces blurred: pictures in which the athlete's head was located, and pictures that were
        blurred all over because it was not.
    n_lost : int
        Damaged pictures, for which the one before stands.
    is_missing : bool
        Whether it could not be found.
    """

    delivery: str
    camera: str
    name: str
    n_whole: int
    first_frame: int = 0
    last_frame: int = -1
    n_located: int = 0
    n_coarse: int = 0
    n_lost: int = 0
    is_missing: bool = False

    @property
    def n_frames(self) -> int:
        """Number of frames that are packed."""
        return self.last_frame - self.first_frame + 1

    def renamed(self, aliases: Aliases) -> PackedClip:
        """Return the same under aliases."""
        return replace(
            self,
            delivery=aliases.deliveries[self.delivery],
            camera=aliases.cameras[self.delivery, self.camera],
        )


CODED = (
    "Every clip was coded anew as H.264: the same size, upright, frame by frame at the same times. What "
    "phones write into a file (place, date, device) is not in it."
)
SAME = "Frames and times count from each clip's new start; every result is the same as before."
OTHERS = (
    "Other people in the picture are blurred only where a simple finder saw a face; it misses most who "
    "are turned away, far off or moving. Look through the clips before you hand them on."
)
PLACE_MORE = "Place or track the top of the head and the neck there, and fewer will be."
KNOWN_BY = (
    "A person may still be known by build, movement, clothing or place. Height, mass, throwing hand, "
    "year of birth, dates and ball speeds are in the project, for results lean on some of them."
)


def pack_note(clips: tuple[PackedClip, ...], options: PackOptions) -> str:
    """Return the note as plain text."""
    lines = [
        "A project packed with deliverylab.",
        "",
        "To open it: deliverylab unpack THIS.zip FOLDER, or File > Open in the window.",
        "",
        "What was done",
        f"- {CODED}",
        f"- {SAME}",
        f"- {_sound_line(options)}",
        f"- {_names_line(options)}",
        *(f"- {line}" for line in _face_lines(clips, options)),
        "",
        "Clips",
        *(f"- {_clip_line(clip, options)}" for clip in clips),
    ]
    if options.leaves_names_out or options.blurs_faces:
        lines += ["", KNOWN_BY]
    return "\n".join(lines) + "\n"


def _sound_line(options: PackOptions) -> str:
    if not options.has_sound:
        return "Sound was left out, of the clips and of walkthroughs."
    if options.leaves_names_out:
        return "The clips' sound is kept: listen whether somebody is named. Voices were left out."
    return "Sound is kept, of the clips and of walkthroughs, and coded anew like the pictures."


def _names_line(options: PackOptions) -> str:
    if options.leaves_names_out:
        return (
            "Names were left out: aliases stand for athletes, deliveries, cameras and those who placed "
            "landmarks; title, organisation, notes and file names are gone. Captions, cues, drills and "
            "points of the field stay, with these names replaced: read them, for other names may "
            "stand there."
        )
    return "Names are kept as they stand in the project."


def _face_lines(clips: tuple[PackedClip, ...], options: PackOptions) -> list[str]:
    if not options.blurs_faces:
        return ["Faces were not blurred."]
    n_coarse = sum(clip.n_coarse for clip in clips)
    lines = ["The athlete's head was blurred where landmarks or the detector tell where it is."]
    if n_coarse:
        lines.append(
            f"Where they do not, the whole picture was blurred: {n_coarse} of "
            f"{sum(clip.n_frames for clip in clips)} pictures. {PLACE_MORE}"
        )
    return [*lines, OTHERS]


def _clip_line(clip: PackedClip, options: PackOptions) -> str:
    head = f"{clip.name}: {clip.delivery}, {clip.camera}"
    if clip.is_missing:
        return f"{head}: not packed, it could not be found; positions and results are there"
    told = [f"frames {clip.first_frame} to {clip.last_frame} of {clip.n_whole}"]
    if options.blurs_faces:
        told.append(f"head blurred in {clip.n_located}, picture blurred in {clip.n_coarse}")
    if clip.n_lost:
        told.append(f"{clip.n_lost} damaged, the picture before stands in")
    return f"{head}: {'; '.join(told)}"
