"""The page as it will be handed over: seen, saved and printed from one and the same PDF."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QFileDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.sheet_view import SheetView, print_pdf
from deliverylab.shell.jobs import Job
from deliverylab.shell.messages import error_text
from deliverylab.shell.outputs import MadePage, Paper, SheetKind, page_work, save_page
from deliverylab.shell.session import Session
from deliverylab.shell.theme import icon, on_theme_changed

PAPERS = (("a4", "A4"), ("letter", "Letter"))
KINDS: tuple[tuple[SheetKind, str, str], ...] = (
    ("page", "Page", "One page for the athlete: what differs, where it starts, what to work on"),
    (
        "technical",
        "Technical sheet",
        "All results with their budgets, on as many pages as it takes",
    ),
)
SIZES = ((False, "Width"), (True, "Whole"))
WIDTH_POINTS = {"a4": 595.3, "letter": 612.0}


class PagePane(QFrame):
    """The page of the two sides of the comparison, or their technical sheet.

    Signals
    -------
    closed()
        Wish to go back to the stages.
    saved(str)
        Where a file was written.
    paper_chosen(str)
        The paper size, to be remembered.
    head_wanted()
        Wish to change title and organisation.
    """

    closed = Signal()
    saved = Signal(str)
    paper_chosen = Signal(str)
    head_wanted = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("pane")
        self._session = session
        self._pdf = b""
        self._job: Job | None = None
        self._paper = QComboBox()
        for key, name in PAPERS:
            self._paper.addItem(name, key)
        self._paper.setAccessibleName("Paper")
        self._paper.activated.connect(self._on_paper_chosen)
        self._size = QComboBox()
        for is_whole, name in SIZES:
            self._size.addItem(name, is_whole)
        self._size.setAccessibleName("Size on the screen")
        self._size.setToolTip("As wide as there is room, or each page whole")
        self._size.activated.connect(self._on_size_chosen)
        self._kinds = QButtonGroup(self)
        for number, (_, name, what) in enumerate(KINDS):
            button = QPushButton(name)
            button.setCheckable(True)
            button.setProperty("role", "choice")
            button.setToolTip(what)
            self._kinds.addButton(button, number)
        self._kinds.button(0).setChecked(True)
        self._kinds.idClicked.connect(self._on_kind_chosen)
        self._back = QPushButton("Back")
        self._head = QPushButton("Title …")
        self._head.setToolTip("Title and organisation, which head the page")
        self._back.setToolTip("Back to the stages")
        self._save = QPushButton("PDF …")
        self._save.setToolTip("Save as PDF")
        self._save.setProperty("role", "main")
        self._picture = QPushButton("Picture …")
        self._picture.setToolTip("Save as a picture; several pages as several")
        self._print = QPushButton("Print …")
        for button, react in (
            (self._back, self.closed.emit),
            (self._head, self.head_wanted.emit),
            (self._save, lambda: self.ask_where("pdf")),
            (self._picture, lambda: self.ask_where("png")),
            (self._print, self.print_page),
        ):
            button.clicked.connect(react)
        self._said = QLabel()
        self._said.setProperty("role", "small")
        self._said.setWordWrap(True)
        self._progress = QProgressBar()
        self._progress.setRange(0, 100)
        self._progress.setTextVisible(False)
        self._sheet = SheetView("The page")
        self._lay_out()
        session.results_updated.connect(self._on_results_updated)
        on_theme_changed(self, self._on_theme_changed)

    def _lay_out(self) -> None:
        switch = QHBoxLayout()
        switch.setSpacing(2)
        for button in self._kinds.buttons():
            switch.addWidget(button)
        above, row = QHBoxLayout(), QHBoxLayout()
        above.setSpacing(8)
        above.addWidget(self._back)
        above.addWidget(self._head)
        above.addStretch(1)
        above.addLayout(switch)
        row.setSpacing(8)
        row.addWidget(self._size)
        row.addStretch(1)
        for part in (self._paper, self._print, self._picture, self._save):
            row.addWidget(part)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 10, 12, 8)
        column.setSpacing(8)
        column.addLayout(above)
        column.addLayout(row)
        column.addWidget(self._progress)
        column.addWidget(self._said)
        column.addWidget(self._sheet, 1)

    @property
    def pdf(self) -> bytes:
        """The page, empty while there is none."""
        return self._pdf

    @property
    def kind(self) -> SheetKind:
        """``page`` or ``technical``."""
        return KINDS[self._kinds.checkedId()][0]

    @property
    def paper(self) -> str:
        """``a4`` or ``letter``."""
        return str(self._paper.currentData())

    def set_paper(self, paper: str) -> None:
        """Choose the paper."""
        self._paper.setCurrentIndex(max(0, self._paper.findData(paper)))

    def make(self) -> None:
        """Make the page anew from what is measured now."""
        if self._job is not None:
            self._job.cancel()
        self._pdf = b""
        self._show_ready()
        try:
            paper: Paper = "letter" if self.paper == "letter" else "a4"
            work = page_work(self._session, paper, self.kind)
        except DeliveryLabError as error:
            self._say(error_text(error))
            self._sheet.show_pdf(b"", 0.0)
            return
        self._say("")
        self._progress.setValue(0)
        self._progress.show()
        job = Job(work, self)
        job.progressed.connect(lambda share: self._progress.setValue(round(100 * share)))
        job.finished.connect(self._on_made)
        job.failed.connect(self._on_failed)
        job.start()
        self._job = job

    def _on_made(self, made: MadePage) -> None:
        self._job = None
        self._pdf = made.pdf
        if made.doubtful:
            self._say(
                f"No font here has {' '.join(made.doubtful)} for sure: look how the names stand on "
                "the page, and write them in other letters where they are wrong."
            )
        self._show_ready()
        self._sheet.show_pdf(made.pdf, WIDTH_POINTS[self.paper])

    def _on_failed(self, error: BaseException) -> None:
        self._job = None
        self._show_ready()
        if not isinstance(error, DeliveryLabError):
            raise error
        self._say(error_text(error))
        self._sheet.show_pdf(b"", 0.0)

    def _show_ready(self) -> None:
        for button in (self._save, self._picture, self._print):
            button.setEnabled(bool(self._pdf))
        self._progress.hide()

    def _say(self, text: str) -> None:
        self._said.setText(text)
        self._said.setVisible(bool(text))

    def _on_results_updated(self) -> None:
        if self.isVisible():
            self.make()

    def _on_kind_chosen(self) -> None:
        self._sheet.verticalScrollBar().setValue(0)
        self.make()

    def _on_size_chosen(self) -> None:
        self._sheet.show_whole(bool(self._size.currentData()))

    def _on_paper_chosen(self) -> None:
        self.paper_chosen.emit(self.paper)
        self.make()

    def _on_theme_changed(self) -> None:
        for button, name in (
            (self._print, "print"),
            (self._picture, "picture"),
        ):
            button.setIcon(icon(name))
        self._save.setIcon(icon("export", "on_accent"))

    def ask_where(self, kind: str) -> None:
        """Ask for a file name and save the page there."""
        name = self._session.delivery("athlete")
        what = " technical" if self.kind == "technical" else ""
        title = f"{name.name if name else 'page'}{what}.{kind}"
        folder = self._session.path.parent if self._session.path else Path.home()
        kinds = "PDF (*.pdf)" if kind == "pdf" else "Picture (*.png)"
        chosen, _ = QFileDialog.getSaveFileName(self, "Save the page", str(folder / title), kinds)
        if chosen:
            path = Path(chosen)
            self.save(path if path.suffix else path.with_suffix(f".{kind}"))

    def save(self, path: Path) -> None:
        """Save the page; the name's ending says as what."""
        save_page(self._pdf, path)
        self.saved.emit(str(path))

    def print_page(self) -> None:
        """Ask for a printer and print the page."""
        print_pdf(self._pdf, self)
