"""The page's lower part: what does not differ, what is not shown, one curve, how it was measured."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from deliverylab.core.report.blocks import Band, Block, Curve, Fit, Measured
from deliverylab.core.report.content import PageContent
from deliverylab.core.report.verdicts import alike_list, withheld_list

CHART_SHARE = 0.56
"""Part of the width that the curve takes."""
_SHARES = (0.26, 0.32, 0.42)
"""Of the width, for what is alike, what is not shown, and how it was measured, without a curve."""


class Columns:
    """Parts side by side, those without anything to say left out."""

    GAP = 18.0

    def __init__(self, parts: tuple[tuple[Block, float], ...]) -> None:
        self.parts = parts

    def height(self, fit: Fit) -> float:
        """Return the height of the tallest part."""
        return max((part.height(fit) for part, _ in self.parts), default=0.0)

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw all from the same top."""
        for part, offset in self.parts:
            part.draw(canvas, left + offset, top, fit)


class Evidence:
    """With room for a curve two bands, the lists above curve and method; without, three columns."""

    def __init__(self, content: PageContent, width: float) -> None:
        self.has_chart = content.chart is not None
        self.columns = _columns(content, width)
        list_width = (width - Band.GAP) / 2.0
        alike_width = list_width if content.withheld else width
        withheld_left = list_width + Band.GAP if content.alike else 0.0
        self.lists = Band(
            alike_list(content, alike_width),
            withheld_list(content, width - withheld_left),
            withheld_left,
        )
        chart_width = CHART_SHARE * (width - Band.GAP)
        measured_left = chart_width + Band.GAP
        self.below = Band(
            Curve(content, chart_width), Measured(content, width - measured_left), measured_left
        )

    def _bands(self, fit: Fit) -> list[Block]:
        """Return what stands below one another."""
        if not self.has_chart or fit.chart_height <= 0.0:
            return [self.columns]
        return [band for band in (self.lists, self.below) if band.height(fit) > 0.0]

    def height(self, fit: Fit) -> float:
        """Return the height of all bands with the gap between them."""
        bands = self._bands(fit)
        return sum(band.height(fit) for band in bands) + (len(bands) - 1) * fit.gap

    def draw(self, canvas: Any, left: float, top: float, fit: Fit) -> None:
        """Draw the bands below one another."""
        for band in self._bands(fit):
            band.draw(canvas, left, top, fit)
            top -= band.height(fit) + fit.gap


def _columns(content: PageContent, width: float) -> Columns:
    """Return the three parts as columns; what says nothing leaves its width to the others."""
    said = (bool(content.alike), bool(content.withheld), bool(content.measured))
    shares = [share for share, is_there in zip(_SHARES, said, strict=True) if is_there]
    room = width - (len(shares) - 1) * Columns.GAP
    widths = iter(room * share / sum(shares) for share in shares)
    parts: list[tuple[Block, float]] = []
    left = 0.0
    kinds: list[Callable[[PageContent, float], Block]]
    kinds = [alike_list, withheld_list, _small_measured]
    for is_there, kind in zip(said, kinds, strict=True):
        if is_there:
            column = next(widths)
            parts.append((kind(content, column), left))
            left += column + Columns.GAP
    return Columns(tuple(parts))


def _small_measured(content: PageContent, width: float) -> Measured:
    return Measured(content, width, is_small=True)
