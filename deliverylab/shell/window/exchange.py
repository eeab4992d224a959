"""What comes into the window as a table and what leaves it: positions, readings, the page."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QStandardPaths, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.jobs import Job
from deliverylab.shell.outputs import WHICH_WORDS, Which, demo_work, save_table
from deliverylab.shell.project_files import TABLE_KINDS, ProjectFiles
from deliverylab.shell.session import Session, Side
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.layout import WindowLayout

KINDS = "Table (*.csv);;JSON (*.json);;Parquet, for a notebook (*.parquet)"
ENDINGS = (".csv", ".json", ".parquet")


class ExchangeWindow(WindowLayout):
    """Exchange tables, pages and the example with the world outside.

    Parameters
    ----------
    session : Session
        What is worked on.
    settings : Settings
        What is remembered.
    files : ProjectFiles, optional
        How projects are opened and saved; the usual way when left out.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        self.page.saved.connect(self._on_page_saved)

    # -------------------------------------------------------------------------------- positions

    def import_positions(self) -> None:
        """Ask for a table of positions and place them in the active stage's clip."""
        chosen, _ = QFileDialog.getOpenFileName(
            self, "Positions: frame, landmark, x_px, y_px", self.files.folder(), TABLE_KINDS
        )
        if chosen:
            self.place_table(Path(chosen))

    def place_table(self, path: Path, side: Side | None = None) -> None:
        """Place a table's positions, or say in which line it is wrong."""
        session = self.session
        side = side or session.active_side
        session.activate(side)
        try:
            n_positions, n_frames = session.place_table(side, path)
        except DeliveryLabError as error:
            self.show_error(error)
            return
        delivery = session.delivery(side)
        self.say(
            f"Placed {n_positions} positions in {n_frames} frames of "
            f"{delivery.name if delivery else 'the clip'} from {path.name}.",
            "good",
            "Undo",
            session.undo,
        )

    # ----------------------------------------------------------------------------------- tables

    def export_table(self, which: Which) -> None:
        """Ask for a name and write a table there, in the format of the name's ending."""
        words = WHICH_WORDS[which]
        start = Path(self.files.folder()) / f"{self.session.name} {words}.csv"
        chosen, kind = QFileDialog.getSaveFileName(self, f"Save the {words}", str(start), KINDS)
        if not chosen:
            return
        path = Path(chosen)
        if not path.suffix:
            path = path.with_suffix(next((e for e in ENDINGS if e in kind), ENDINGS[0]))
        try:
            written = save_table(self.session, which, path)
        except DeliveryLabError as error:
            self.show_error(error)
            return
        self.say(f"Wrote {written.name}, in SI units and degrees.", "good")

    # ------------------------------------------------------------------------- page and example

    def _on_page_saved(self, path: str) -> None:
        url = QUrl.fromLocalFile(path)
        self.say(
            f"Saved as {Path(path).name}.", "good", "Open it", lambda: QDesktopServices.openUrl(url)
        )

    def open_example(self) -> None:
        """Make the example project in the user's documents and open it."""
        documents = QStandardPaths.writableLocation(
            QStandardPaths.StandardLocation.DocumentsLocation
        )
        self.say("Making the example: two invented deliveries, measured and compared …")
        job = Job(demo_work(Path(documents) / "deliverylab-example"), self)
        job.finished.connect(self._on_example_made)
        job.failed.connect(self._on_job_failed)
        job.start()

    def _on_example_made(self, path: Path) -> None:
        self.notices.dismiss()
        self.files.open(path)

    def _on_job_failed(self, error: BaseException) -> None:
        if not isinstance(error, DeliveryLabError):
            raise error
        self.show_error(error)
