"""Which lines of sight a stage shows of the other clips of its delivery."""

from __future__ import annotations

from typing import TYPE_CHECKING

from deliverylab.shell.drawing.epipolar import SightLine
from deliverylab.shell.session import Session, Side

if TYPE_CHECKING:
    from deliverylab.core.workflow.space_guide import Guide


def sight_lines(session: Session, side: Side) -> tuple[SightLine, ...]:
    """Return the lines of the landmark asked for, and of the current one where it is off its own.

    Where nothing is asked for, the current one's line is shown in any case: it may be moved along it.
    """
    asked, current = session.guides(side)
    lines = [_line(guide, f"on this line, after {guide.other}") for guide in asked]
    lines += [_current(guide) for guide in current if guide.is_beyond_chance or not asked]
    return tuple(lines)


def _current(guide: Guide) -> SightLine:
    if not guide.is_beyond_chance or guide.placed_px is None or guide.foot_px is None:
        return _line(guide, f"fits {guide.other}")
    (x_px, y_px), (foot_x_px, foot_y_px) = guide.placed_px.tolist(), guide.foot_px.tolist()
    gap = f"{guide.gap_px:.0f} px off {guide.other}"
    return _line(guide, "", placed=(x_px, y_px), foot=(foot_x_px, foot_y_px), gap_text=gap)


def _line(
    guide: Guide,
    text: str,
    placed: tuple[float, float] | None = None,
    foot: tuple[float, float] | None = None,
    gap_text: str = "",
) -> SightLine:
    (ax, ay), (bx, by) = guide.ends_px.tolist()
    # twice the standard uncertainty, as every ± in the window
    near, far = (2.0 * u_px for u_px in guide.u_px.tolist())
    return SightLine(
        a=(ax, ay),
        b=(bx, by),
        half_widths_px=(near, far),
        text=text,
        placed=placed,
        foot=foot,
        gap_text=gap_text,
    )
