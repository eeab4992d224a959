"""What a look over a clip found: each thing with how sure it is, what follows, what to do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from deliverylab.shell.theme import icon, on_theme_changed

if TYPE_CHECKING:
    from deliverylab.core.video.findings import ClipFinding

SURENESS = {"certain": "", "likely": "Likely: ", "possible": "Perhaps: "}


def finding_text(finding: ClipFinding) -> tuple[str, str]:
    """Return what was found, and what follows with what to do, as sentences."""
    what = f"{SURENESS[finding.certainty]}{finding.what}."
    follows = ". ".join(
        f"{part[:1].upper()}{part[1:]}" for part in (finding.follows, finding.remedy) if part
    )
    return f"{what[:1].upper()}{what[1:]}", f"{follows}." if follows else ""


class ClipFindings(QWidget):
    """A short list, each line with the shape of its weight."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._marks: list[tuple[QLabel, bool]] = []
        self._said: list[str] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 2, 0, 0)
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(1)
        self._grid.setColumnStretch(1, 1)
        on_theme_changed(self, self._on_theme_changed)
        self.hide()

    @property
    def text(self) -> str:
        """Everything that is said, a line each."""
        return "\n".join(self._said)

    def show_found(self, remarks: Sequence[str], findings: Sequence[ClipFinding]) -> None:
        """Show what was found, what withholds something first; once only."""
        for finding in sorted(findings, key=lambda one: not one.withholds_speeds):
            what, follows = finding_text(finding)
            self._add(what, follows, is_caution=finding.withholds_speeds)
        for remark in remarks:
            self._add(remark, "", is_caution=False)
        self.setVisible(bool(self._marks))
        self._on_theme_changed()

    def _add(self, what: str, follows: str, *, is_caution: bool) -> None:
        row = 2 * len(self._marks)
        mark, text, more = QLabel(), QLabel(what), QLabel(follows)
        for one, role in ((text, ""), (more, "small")):
            one.setWordWrap(True)
            one.setTextFormat(Qt.TextFormat.PlainText)
            one.setProperty("role", role)
        self._grid.addWidget(mark, row, 0, Qt.AlignmentFlag.AlignTop)
        self._grid.addWidget(text, row, 1)
        self._grid.addWidget(more, row + 1, 1)
        more.setVisible(bool(follows))
        self._marks.append((mark, is_caution))
        self._said += [one for one in (what, follows) if one]

    def _on_theme_changed(self) -> None:
        for mark, is_caution in self._marks:
            name, colour = ("caution", "caution") if is_caution else ("note", "quiet")
            mark.setPixmap(icon(name, colour).pixmap(QSize(15, 15)))
