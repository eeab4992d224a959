"""Opening and saving as a person does it: asking first, remembering, recovering."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.store.archive import is_archive, unpack_archive
from deliverylab.core.store.journal import (
    PERIOD_S,
    Journal,
    Recovery,
    discard_recovery,
    find_recoveries,
    read_recovery,
)
from deliverylab.core.store.replacing import ChangedOnDiskError
from deliverylab.shell.messages import ask_about_changes, ask_about_conflict, show_error
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings

SUFFIX = ".delivery"
KINDS = f"Projects (*{SUFFIX})"
OPENED_KINDS = f"Projects (*{SUFFIX} *.zip)"
CLIP_SUFFIXES = (".mp4", ".mov", ".m4v", ".avi", ".mkv", ".webm", ".mts", ".3gp", ".mpg", ".ts")
TABLE_SUFFIXES = (".csv", ".tsv", ".txt")
TABLE_KINDS = f"Tables ({' '.join('*' + suffix for suffix in TABLE_SUFFIXES)});;All files (*)"
CLIP_KINDS = f"Clips ({' '.join('*' + suffix for suffix in CLIP_SUFFIXES)});;All files (*)"


class ProjectFiles(QObject):
    """Project files of the window's session.

    Parameters
    ----------
    session : Session
        What is opened and saved.
    settings : Settings
        Remembers files and folders.
    window : QWidget
        Where questions appear.
    journal : Journal, optional
        Recovery copies; the user's own place when left out.

    Signals
    -------
    opened(str), saved(str)
        Path.
    recent_changed()
        The list of files opened last.
    set_aside()
        What somebody else saved is open now; `take_up_own` goes back to the work before.
    """

    opened = Signal(str)
    saved = Signal(str)
    recent_changed = Signal()
    set_aside = Signal()

    def __init__(
        self,
        session: Session,
        settings: Settings,
        window: QWidget,
        journal: Journal | None = None,
    ) -> None:
        super().__init__(window)
        self._session, self._settings, self._window = session, settings, window
        self.journal = journal or Journal()
        self._own: Recovery | None = None
        self._timer = QTimer(self)
        self._timer.setInterval(round(1000 * PERIOD_S))
        self._timer.timeout.connect(self.keep_copy)
        self._timer.start()
        session.saved.connect(self._on_saved)

    # ---------------------------------------------------------------------------------- asking

    def may_leave(self) -> bool:
        """Return whether the open project may be left: saved, or given up on purpose."""
        if not self._session.is_modified:
            return True
        answer = ask_about_changes(self._window, self._session.name)
        return self.save() if answer == "save" else answer == "discard"

    def new(self) -> None:
        """Begin with an empty project."""
        if self.may_leave():
            self.journal.discard()
            self._session.new_project(self._settings.get("unit_system"))

    def ask_project(self) -> None:
        """Ask for a project file and open it."""
        chosen, _ = QFileDialog.getOpenFileName(
            self._window, "Open a project", self.folder(), f"{OPENED_KINDS};;All files (*)"
        )
        if chosen:
            self.open(Path(chosen))

    def _unpacked(self, path: Path) -> Path | None:
        """Return the project of a zip, taken out into a folder that is asked for; None if not now."""
        chosen = QFileDialog.getExistingDirectory(
            self._window, "Unpack into a new folder here", str(path.absolute().parent)
        )
        return unpack_archive(path, Path(chosen) / path.stem) if chosen else None

    def open(self, path: Path) -> bool:
        """Open a project file, or a zip of one; return whether it is open now."""
        if not self.may_leave():
            return False
        try:
            if is_archive(path):
                unpacked = self._unpacked(path)
                if unpacked is None:
                    return False
                path = unpacked
            self._session.open_project(path.absolute())
        except DeliveryLabError as error:
            self._settings.forget_recent(str(path))
            self.recent_changed.emit()
            show_error(self._window, error)
            return False
        self.journal.discard()
        self._remember(path.absolute())
        self.opened.emit(str(path))
        return True

    def save(self) -> bool:
        """Save, asking for a name where there is none; return whether it is saved."""
        if self._session.path is None:
            return self.save_as()
        return self._save_to(self._session.path)

    def save_as(self) -> bool:
        """Ask for a name and save there; return whether it is saved."""
        start = self._session.path or Path(self.folder()) / f"{self._suggested_name()}{SUFFIX}"
        chosen, _ = QFileDialog.getSaveFileName(self._window, "Save as", str(start), KINDS)
        if not chosen:
            return False
        path = Path(chosen)
        if path.suffix:
            return self._save_to(path)
        # the dialog asked about the name without its ending only
        return self._save_to(path.with_suffix(SUFFIX), is_new=True)

    def ask_clip(self) -> Path | None:
        """Ask for a clip."""
        chosen, _ = QFileDialog.getOpenFileName(
            self._window, "Choose a clip", self.folder(), CLIP_KINDS
        )
        if not chosen:
            return None
        self._settings.put("folder", str(Path(chosen).parent))
        return Path(chosen)

    def folder(self) -> str:
        """Return the folder in which a choice begins."""
        if self._session.path is not None:
            return str(self._session.path.parent)
        return str(self._settings.get("folder") or Path.home())

    def _suggested_name(self) -> str:
        delivery = self._session.delivery("athlete")
        return delivery.athlete.name if delivery is not None else "project"

    def _save_to(self, path: Path, *, is_new: bool = False) -> bool:
        try:
            self._session.save_as(path, is_new=is_new)
        except DeliveryLabError as error:
            self.keep_copy()  # whatever becomes of it, the work is not lost
            if isinstance(error, ChangedOnDiskError) and path == self._session.path:
                return self._settle(path)
            show_error(self._window, error)
            return False
        return True

    def _settle(self, path: Path) -> bool:
        """Ask what becomes of one's own version and another's; return whether one's own is saved."""
        answer = ask_about_conflict(self._window, path.name)
        if answer == "other name":
            return self.save_as()
        if answer == "theirs":
            self._open_theirs(path)
        return False

    def _open_theirs(self, path: Path) -> None:
        try:
            # also where all was saved: the other may have written over just that
            self.journal.write(self._session.record, path)
            self._session.open_project(path)
        except DeliveryLabError as error:
            show_error(self._window, error)
            return
        copy = self.journal.leave()
        self.opened.emit(str(path))
        if copy is not None:
            self._own = Recovery(copy, path, datetime.now(UTC))
            self.set_aside.emit()

    def take_up_own(self) -> None:
        """Go on with the work that was set aside last, beside what others saved."""
        if self._own is not None:
            self.recover(self._own)

    def _on_saved(self, path: str) -> None:
        self.journal.discard()
        self._remember(Path(path))
        self.saved.emit(path)

    def _remember(self, path: Path) -> None:
        self._settings.remember_recent(str(path.absolute()))
        self._settings.put("folder", str(path.absolute().parent))
        self.recent_changed.emit()

    # -------------------------------------------------------------------------------- recovery

    def keep_copy(self) -> Path | None:
        """Write a recovery copy if there is unsaved work; return where it lies."""
        if not self._session.is_modified:
            return None
        try:
            return self.journal.write(self._session.record, self._session.path)
        except DeliveryLabError:
            return None  # nothing better can be done now; saving itself will say what is wrong

    def left_behind(self, path: Path | None = None) -> Recovery | None:
        """Return the newest copy that an earlier start left behind, of one project or of any."""
        found = find_recoveries(path)
        return found[0] if found else None

    def recover(self, recovery: Recovery) -> None:
        """Go on with a copy that was left behind."""
        if not self.may_leave():
            return
        try:
            record = read_recovery(recovery)
        except DeliveryLabError as error:
            show_error(self._window, error)
            return
        is_beside = self._own is not None and recovery.path == self._own.path
        self._session.recover(record, recovery.project_path, is_beside_others=is_beside)
        self.keep_copy()
        discard_recovery(recovery)
