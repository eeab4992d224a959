"""What unfolds below a reading: its meaning, what its ± is made of, and what would make it surer."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from deliverylab.core.compare.published import context
from deliverylab.core.metrics.lifted_results import BASIS as LIFTED_BASIS
from deliverylab.core.metrics.space_sight import SPACE_VIEW
from deliverylab.core.metrics.spec import COVERAGE_FACTOR, Result
from deliverylab.core.units import UnitSystem
from deliverylab.core.vocabulary.views import BY_KEY as VIEWS
from deliverylab.shell.drawing.budget_bars import BudgetBars, budget_lines
from deliverylab.shell.remedy_acts import act_for

CHECKING = "Simulating …"


def about_html(result: Result, meaning: str, limit: str) -> str:
    """Return what a reading means, and what it does not."""
    return _paragraphs(
        escape(result.definition),
        meaning and f"<b>Tells:</b> {escape(meaning)}",
        limit and f"<b>Does not tell:</b> {escape(limit)}",
    )


def factor_text(result: Result) -> str:
    """Return the coverage factor where it is not the usual one."""
    dof = result.n_degrees_of_freedom
    if dof is None or abs(result.coverage_factor - COVERAGE_FACTOR) < 0.005:
        return ""
    return f" (k = {result.coverage_factor:.2f}, as it rests on few repeats)"


def after_html(result: Result, system: UnitSystem) -> str:
    """Return what would make it surer, what to mind, what is published, and what can be done."""
    surer = ""
    if result.budget and result.budget[0].remedy:
        act = act_for(result.budget[0], result)
        link = f' <a href="act">{escape(act.text)}</a>' if act is not None else ""
        surer = f"<b>To make it surer:</b> {escape(result.budget[0].remedy)}.{link}"
    parts = [surer, *(f"<b>Mind:</b> {escape(caution)}" for caution in result.cautions)]
    published = context(result, system=system)
    if published is not None:
        text = published.text.removeprefix("published: ")
        parts.append(f"<b>Published:</b> {escape(text)}")
        question = published.question
        parts.append(question and f"{escape(question[:1].upper() + question[1:])}")
    parts.append(how_measured(result))
    links = ['<a href="event">Show this instant</a>'] if result.event else []
    # what is lifted comes from draws already
    if result.is_shown and result.basis != LIFTED_BASIS:
        links.append('<a href="check">Check by simulation</a>')
    return _paragraphs(*parts, " &nbsp; ".join(links))


def how_measured(result: Result) -> str:
    """Return from where a value was seen, and whether it is only estimated; empty where neither is."""
    is_estimated = result.status == "estimated"
    if result.view == SPACE_VIEW:
        return f"{'Estimated from' if is_estimated else 'Measured by'} both cameras together."
    if result.view in VIEWS:
        seen = f"een from the {VIEWS[result.view].name}."
        return f"Estimated, not measured, as s{seen}" if is_estimated else f"S{seen}"
    return "Estimated, not measured." if is_estimated else ""


def _paragraphs(*parts: str) -> str:
    return "".join(f"<p style='margin:3px 0'>{part}</p>" for part in parts if part)


class ReadingDetail(QWidget):
    """The explanation of one reading.

    Parameters
    ----------
    meaning, limit : str
        What the metric tells and does not tell.

    Signals
    -------
    instant_wanted(), check_wanted()
        Wish to see its frame; to check its ± by simulation.
    act_wanted(RemedyAct)
        Wish to do what would make it surer.
    """

    instant_wanted = Signal()
    check_wanted = Signal()
    act_wanted = Signal(object)

    def __init__(self, meaning: str, limit: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._meaning, self._limit = meaning, limit
        self._result: Result | None = None
        self.about, self.head, self.after, self.check = (_text() for _ in range(4))
        self.bars = BudgetBars()
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 0, 8, 8)
        column.setSpacing(4)
        for part in (self.about, self.head, self.bars, self.after, self.check):
            column.addWidget(part)
        self.after.linkActivated.connect(self._on_link)
        self.check.hide()

    def show_result(self, result: Result, system: UnitSystem) -> None:
        """Explain a result; a check of an older one goes."""
        if result is not self._result:
            self.show_check("")
        self._result = result
        self.about.setText(about_html(result, self._meaning, self._limit))
        lines = budget_lines(result, system)
        self.head.setText(f"<b>Where its ± comes from</b>{factor_text(result)}")
        self.bars.show_lines(lines)
        for part in (self.head, self.bars):
            part.setVisible(bool(lines))
        self.after.setText(after_html(result, system))

    def show_check(self, html: str) -> None:
        """Show what a simulation gave; nothing for an empty text."""
        self.check.setText(html)
        self.check.setVisible(bool(html))

    def _on_link(self, link: str) -> None:
        result = self._result
        if link == "event":
            self.instant_wanted.emit()
        elif link == "check":
            self.show_check(CHECKING)
            self.check_wanted.emit()
        elif result is not None and (act := act_for(result.budget[0], result)) is not None:
            self.act_wanted.emit(act)


def _text() -> QLabel:
    label = QLabel()
    label.setProperty("role", "small")
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.RichText)
    return label
