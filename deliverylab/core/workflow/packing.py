"""Pack a project and its clips into one zip that opens elsewhere and shows the same results."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import msgspec

from deliverylab.core.model.delivery import Camera, ClipReference, Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.archive import (
    CLIPS_FOLDER,
    NOTE_NAME,
    SOUNDS_FOLDER,
    check_folder,
    write_archive,
)
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.store.projectfile import SUFFIX, record_to_bytes
from deliverylab.core.video.index import build_index
from deliverylab.core.video.sound_track import write_voice
from deliverylab.core.video.trimming import cut_clip
from deliverylab.core.video.voice import read_voice
from deliverylab.core.workflow.packing_blur import FaceBlur
from deliverylab.core.workflow.packing_choice import (
    ClipKey,
    PackOptions,
    chosen_record,
    clip_names,
    found_clips,
    safe_stem,
    with_the_others,
)
from deliverylab.core.workflow.packing_cut import Cut, cut_record, cuts_of, whole
from deliverylab.core.workflow.packing_names import aliases_for, without_names
from deliverylab.core.workflow.packing_note import PackedClip, pack_note
from deliverylab.core.workflow.walkthrough import voice_path

replace = msgspec.structs.replace
Progress = Callable[[float], object]
_NAMELESS = "delivery"
_PARTS = (CLIPS_FOLDER, SOUNDS_FOLDER)


@dataclass(frozen=True, kw_only=True)
class Packed:
    """What was packed.

    Attributes
    ----------
    path : pathlib.Path
        The zip.
    clips : tuple of PackedClip
        What became of each clip.
    note : str
        The text that lies in the zip and says all of it.
    """

    path: Path
    clips: tuple[PackedClip, ...]
    note: str


def pack(
    record: ProjectRecord,
    project_path: str | Path | None,
    out: str | Path,
    options: PackOptions | None = None,
    *,
    progress: Progress | None = None,
) -> Packed:
    """Write one zip with a project and its clips.

    Parameters
    ----------
    record : ProjectRecord
        What is packed; it is not changed.
    project_path : str, pathlib.Path or None
        The project file, which clips are referred to from; None for one that was never saved.
    out : str or pathlib.Path
        The zip; one that is there is replaced.
    options : PackOptions, optional
        All that is there, cut, when None.
    progress : callable, optional
        Called with the part done, 0 to 1; what it raises ends the work, and nothing is left.

    Raises
    ------
    NotFoundError, InputValueError
        No such delivery, or none at all.
    ClipError
        A clip or a voice cannot be read or written.
    OutputError
        The zip cannot be written.

    Notes
    -----
    Every clip is coded anew (see `deliverylab.core.video.trimming`), and so is a voice: nothing that a
    phone wrote into the file comes along.  A clip that cannot be found stays out, which the note says.
    """
    options = options or PackOptions()
    check_folder(out)
    chosen = chosen_record(record, options.deliveries)
    found = found_clips(chosen, project_path)
    cuts = _cuts(chosen, found, options)
    packed = cut_record(chosen, cuts)
    names = clip_names(chosen, found, options)
    with tempfile.TemporaryDirectory(prefix="deliverylab-pack-") as name:
        folder = Path(name)
        for part in _PARTS:
            (folder / part).mkdir()
        work = _Work(folder / CLIPS_FOLDER, project_path, options, cuts, names, progress)
        clips = tuple(
            work.clip(delivery, camera, found.get((delivery.name, camera.name)))
            for delivery in chosen.deliveries
            for camera in delivery.cameras
            if camera.clip is not None
        )
        packed = _referring(packed, work.references)
        packed = _with_voices(packed, project_path, options, folder / SOUNDS_FOLDER)
        if options.leaves_names_out:
            aliases = aliases_for(with_the_others(chosen, record))
            packed = without_names(packed, aliases)
            clips = tuple(clip.renamed(aliases) for clip in clips)
        note = pack_note(clips, options)
        is_nameless = options.leaves_names_out or project_path is None
        stem = safe_stem("" if is_nameless else Path(str(project_path)).stem, _NAMELESS)
        files: list[tuple[str, Path | bytes]] = [
            (f"{stem}{SUFFIX}", record_to_bytes(packed, str(out))),
            (NOTE_NAME, note.encode()),
            *(
                (f"{part}/{f.name}", f)
                for part in _PARTS
                for f in sorted((folder / part).iterdir())
            ),
        ]
        path = write_archive(out, files)
    return Packed(path=path, clips=clips, note=note)


def _cuts(
    record: ProjectRecord, found: dict[ClipKey, Path], options: PackOptions
) -> dict[ClipKey, Cut]:
    """Return which part of each clip is kept; what has no clip here keeps its frame numbers."""
    cuts: dict[ClipKey, Cut] = {}
    for delivery in record.deliveries:
        names = {name for of, name in found if of == delivery.name}
        kept = {} if options.is_whole else cuts_of(delivery, names)
        for name in names:
            cuts[delivery.name, name] = kept.get(name, whole(delivery.camera(name)))
    return cuts


class _Work:
    """Write the clips, one after the other, and remember how the project refers to them."""

    def __init__(
        self,
        folder: Path,
        project_path: str | Path | None,
        options: PackOptions,
        cuts: dict[ClipKey, Cut],
        names: dict[ClipKey, str],
        progress: Progress | None,
    ) -> None:
        self.folder = folder
        self.references: dict[ClipKey, ClipReference] = {}
        self._project_path = project_path
        self._options = options
        self._cuts = cuts
        self._names = names
        self._progress = progress
        self._n_frames = sum(cut.n_frames for cut in cuts.values())
        self._n_done = 0

    def clip(self, delivery: Delivery, camera: Camera, source: Path | None) -> PackedClip:
        """Write a camera's clip and return what became of it."""
        key = (delivery.name, camera.name)
        name, n_whole = self._names[key], camera.timing.n_frames
        inside = f"{CLIPS_FOLDER}/{name}"
        if source is None:
            if camera.clip is not None:
                self.references[key] = replace(camera.clip, path=inside)
            return PackedClip(
                delivery=delivery.name, camera=camera.name, name=name, n_whole=n_whole,
                is_missing=True,
            )  # fmt: skip
        cut = self._cuts[key]
        index = build_index(source)
        blur = None
        if self._options.blurs_faces:
            blur = FaceBlur(delivery, camera, self._project_path, cut, self._keep_on)
        lost: list[int] = []
        target = cut_clip(
            index, self.folder / name, cut.first_frame, cut.last_frame,
            edit=blur, has_sound=self._options.has_sound, progress=self._part(cut), lost=lost,
        )  # fmt: skip
        self._n_done += cut.n_frames
        self.references[key] = replace(clip_reference(target, None), path=inside)
        return PackedClip(
            delivery=delivery.name,
            camera=camera.name,
            name=name,
            n_whole=n_whole,
            first_frame=cut.first_frame,
            last_frame=cut.last_frame,
            n_located=blur.n_located if blur else 0,
            n_coarse=blur.n_coarse if blur else 0,
            n_lost=len(lost),
        )

    def _keep_on(self) -> None:
        if self._progress is not None:
            self._progress(self._n_done / max(1, self._n_frames))

    def _part(self, cut: Cut) -> Progress | None:
        report = self._progress
        if report is None:
            return None
        done, n_all = self._n_done, max(1, self._n_frames)
        return lambda share: report((done + share * cut.n_frames) / n_all)


def _referring(record: ProjectRecord, references: dict[ClipKey, ClipReference]) -> ProjectRecord:
    return replace(
        record,
        deliveries=tuple(
            replace(
                delivery,
                cameras=tuple(
                    replace(camera, clip=references.get((delivery.name, camera.name)))
                    for camera in delivery.cameras
                ),
            )
            for delivery in record.deliveries
        ),
    )


def _with_voices(
    record: ProjectRecord, project_path: str | Path | None, options: PackOptions, folder: Path
) -> ProjectRecord:
    """Return the record with its voices written anew into a folder of the zip, or without them."""
    scripts = []
    for number, script in enumerate(record.walkthroughs, start=1):
        place = voice_path(script, project_path)
        inside = ""
        if options.has_sound and not options.leaves_names_out and place and place.is_file():
            written = write_voice(read_voice(place), folder / f"voice-{number}.m4a")
            inside = f"{SOUNDS_FOLDER}/{written.name}"
        scripts.append(replace(script, voice=inside))
    return replace(record, walkthroughs=tuple(scripts))
