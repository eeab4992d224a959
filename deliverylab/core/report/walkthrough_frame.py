"""One picture of a walkthrough: both deliveries at one instant, with what is said of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from reportlab.lib.colors import Color

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.compare.walkthrough_plan import FrameCue, Walked, cues_of, walked
from deliverylab.core.metrics.figure_marks import measure_marks
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.walkthrough import Stop, Walkthrough
from deliverylab.core.report import walkthrough_style as look
from deliverylab.core.report import wording
from deliverylab.core.report.figures import Picture, is_mirrored, points_at
from deliverylab.core.report.fonts import Style
from deliverylab.core.report.walkthrough_card import CardContent, StripMark, card, strip_x
from deliverylab.core.report.walkthrough_crop import Placement, placements
from deliverylab.core.report.walkthrough_drawing import draw_body, draw_by_hand, polygon
from deliverylab.core.report.walkthrough_label import Label, label, lay_over
from deliverylab.core.report.walkthrough_layout import WalkLayout
from deliverylab.core.report.walkthrough_marks import draw_marks
from deliverylab.core.report.walkthrough_style import rgb
from deliverylab.core.report.walkthrough_words import number_lines, shown_differences
from deliverylab.core.units import UnitSystem
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.core.vocabulary.views import BY_KEY as VIEWS

NO_PICTURES = "no clip here: positions only"


MOST_CARDS = 8
"""What is written around the pictures is kept for so many stops: it takes as much room as a picture, and a
clip shows one after another."""


@dataclass(frozen=True, eq=False)
class Walk:
    """A walkthrough that is ready to be drawn.

    Attributes
    ----------
    script : Walkthrough
    pair : Walked
        Both deliveries and the clips that are shown.
    cues : tuple of FrameCue
        What every picture shows.
    layout : WalkLayout
    differences : tuple of Difference
        Of the two deliveries.
    system : {"metric", "imperial"}
        The reader's units.
    is_turned : bool
        Whether the model delivery is mirrored.
    places : (Placement, Placement)
        How both clips lie in their parts of the picture.
    """

    script: Walkthrough
    pair: Walked
    cues: tuple[FrameCue, ...]
    layout: WalkLayout
    differences: tuple[Difference, ...]
    system: UnitSystem
    is_turned: bool
    places: tuple[Placement, Placement]

    @cached_property
    def span(self) -> tuple[float, float]:
        """The first and the last phase that is passed."""
        phases = [cue.phase for cue in self.cues]
        return min(phases), max(phases)

    @cached_property
    def names(self) -> tuple[str, str]:
        """What stands on the two pictures: who, from where if that differs, whether mirrored."""
        athlete, model = wording.headings(self.pair.a, self.pair.b)
        views = [VIEWS[each.view].name for each in (self.pair.camera_a, self.pair.camera_b)]
        if views[0] != views[1]:
            athlete, model = f"{athlete}, {views[0]}", f"{model}, {views[1]}"
        return athlete, f"{model}, mirrored" if self.is_turned else model

    @cached_property
    def _cards(self) -> dict[tuple[int | None, int | None], Picture]:
        return {}

    @cached_property
    def _labels(self) -> dict[tuple[str, Style, Color], Label]:
        return {}

    @cached_property
    def _contents(self) -> dict[tuple[int | None, int | None], CardContent]:
        return {}

    def content(self, cue: FrameCue) -> CardContent:
        """Return what is written around the pictures at an instant."""
        key = (cue.stop, cue.next_stop)
        if key not in self._contents:
            self._contents[key] = _content(self, cue)
        return self._contents[key]

    def card(self, cue: FrameCue) -> Picture:
        """Return what is written around the pictures at an instant; drawn once for each stop in turn."""
        key = (cue.stop, cue.next_stop)
        if key not in self._cards:
            while len(self._cards) >= MOST_CARDS:
                del self._cards[next(iter(self._cards))]
            self._cards[key] = card(self.layout, self.content(cue))
        return self._cards[key]

    def label(self, text: str, style: Style, *, plate: Color = look.PLATE) -> Label:
        """Return words for one of the two pictures, on a plate; drawn once."""
        key = (text, style, plate)
        if key not in self._labels:
            sized = style.sized(style.size * self.layout.unit)
            most_width = round(0.6 * self.layout.athlete.width)
            self._labels[key] = label(text, sized, most_width, plate=plate)
        return self._labels[key]


def prepared_walk(
    script: Walkthrough,
    a: Delivery,
    b: Delivery,
    layout: WalkLayout,
    differences: Sequence[Difference],
    system: UnitSystem = "metric",
    *,
    rate_hz: float = 30,
) -> Walk:
    """Return a walkthrough that is ready to be drawn.

    Raises
    ------
    UsageError
        Too few common events, or a stop at one that is not marked.
    """
    pair = walked(a, b)
    cues = cues_of(script, pair, rate_hz=rate_hz)
    is_turned = is_mirrored(a, pair.camera_a, b, pair.camera_b)
    size = layout.athlete.width, layout.athlete.height
    first, second = placements(
        (
            (a, pair.camera_a, [cue.athlete_frame for cue in cues], False),
            (b, pair.camera_b, [cue.model_frame for cue in cues], is_turned),
        ),
        size,
        headroom=look.NAME_PLATE_PX * layout.unit,
    )
    return Walk(script, pair, cues, layout, tuple(differences), system, is_turned, (first, second))


def draw_frame(
    walk: Walk, cue: FrameCue, pictures: tuple[Picture | None, Picture | None]
) -> Picture:
    """Return one picture of a walkthrough.

    Parameters
    ----------
    walk : Walk
    cue : FrameCue
        The instant; any, also one that is not among the walk's own.
    pictures : (ndarray or None, ndarray or None)
        The upright frames ``cue.athlete_frame`` and ``cue.model_frame``, RGB; where there is none,
        the skeleton stands on plain ground.

    Returns
    -------
    ndarray of uint8, shape (height, width, 3)
        RGB.
    """
    layout = walk.layout
    picture = walk.card(cue).copy()
    for is_model, area in ((False, layout.athlete), (True, layout.model)):
        part = _side(walk, cue, pictures[is_model], is_model=is_model)
        picture[area.top : area.bottom, area.left : area.right] = part
    _draw_playhead(picture, walk, cue)
    return picture


def _side(walk: Walk, cue: FrameCue, picture: Picture | None, *, is_model: bool) -> Picture:
    """Return one delivery's part of the picture."""
    area, unit, place = walk.layout.athlete, walk.layout.unit, walk.places[is_model]
    delivery, camera, frame = walk.pair.side(cue, is_model=is_model)
    if picture is None:
        part = np.empty((area.height, area.width, 3), np.uint8)
        part[:] = rgb(look.STAGE)
    else:
        part = place.shown(picture, area.width, area.height, rgb(look.STAGE))
    points = points_at(camera, frame)
    draw_body(part, points, delivery.athlete.hand, place, is_model=is_model, unit=unit)
    name = look.NAME._replace(colour=look.MODEL if is_model else look.TEXT)
    said = walk.label(walk.names[is_model], name)
    lay_over(part, said, 0, 0)
    if picture is None:
        lay_over(part, walk.label(NO_PICTURES, look.SMALL), 0, said.shape[0])
    if cue.stop is not None:
        _draw_stop(part, walk, walk.script.stops[cue.stop], is_model=is_model)
    return part


def _draw_stop(part: Picture, walk: Walk, stop: Stop, *, is_model: bool) -> None:
    """Draw what a picture shows only while it stands still: measurements, drawings, a flag."""
    unit, place = walk.layout.unit, walk.places[is_model]
    delivery, camera = (walk.pair.a, walk.pair.camera_a)
    if is_model:
        delivery, camera = (walk.pair.b, walk.pair.camera_b)
    if stop.event:
        shown = shown_differences(stop, walk.differences)
        results = [each.b if is_model else each.a for each in shown]
        marks = measure_marks(delivery, camera, stop.event, results, walk.system)
        draw_marks(part, marks, place, unit, lambda text: walk.label(text, look.NUMBER_ON_PICTURE))
    side = "model" if is_model else "athlete"
    draw_by_hand(part, [each for each in stop.drawings if each.side == side], place, unit)
    flag = walk.label(_moment(stop), look.FLAG, plate=look.TEXT)
    lay_over(part, flag, part.shape[1] - flag.shape[1], 0)


def _content(walk: Walk, cue: FrameCue) -> CardContent:
    pair, stops = walk.pair, walk.script.stops
    stopped = {stop.event for stop in stops}
    marks = tuple(
        StripMark(
            phase=float(pair.athlete.phase_at(pair.camera_a.marks[event].time_s)),
            name=EVENTS[event].name,
            weight=int(EVENTS[event].phase is not None) + 2 * (event in stopped),
        )
        for event in pair.events
    )
    marks = tuple(mark for mark in marks if walk.span[0] <= mark.phase <= walk.span[1])
    athlete, model = wording.headings(pair.a, pair.b)
    stop = None if cue.stop is None else stops[cue.stop]
    named = "" if stop is None or not stop.event else EVENTS[stop.event].name
    chosen = next((number for number, mark in enumerate(marks) if mark.name == named), None)
    return CardContent(
        title=pair.a.athlete.name,
        subtitle=wording.compared_with(pair.a, pair.b),
        athlete=athlete,
        model=model,
        span=walk.span,
        marks=marks,
        chosen=chosen,
        running="" if stop is not None else _running_text(walk, cue),
        caption="" if stop is None else stop.caption,
        numbers=() if stop is None else number_lines(stop, walk.differences, walk.system),
        is_still=stop is not None,
    )


def _moment(stop: Stop) -> str:
    if stop.event:
        return wording.raised(wording.event_name(stop.event))
    return f"{stop.phase:.0f} % of the movement"


def _running_text(walk: Walk, cue: FrameCue) -> str:
    pace = f"{walk.script.speed:.3g} × real time"
    if cue.next_stop is None:
        return pace
    stop = walk.script.stops[cue.next_stop]
    return f"to {wording.event_name(stop.event)}, {pace}" if stop.event else pace


def _draw_playhead(picture: Picture, walk: Walk, cue: FrameCue) -> None:
    layout = walk.layout
    x = strip_x(layout, walk.content(cue), cue.phase)
    y, unit = layout.strip.top + 26.0 * layout.unit, layout.unit
    corners = [
        (x, y - 11.0 * unit),
        (x - 9.0 * unit, y - 25.0 * unit),
        (x + 9.0 * unit, y - 25.0 * unit),
    ]
    polygon(picture, corners, rgb(look.TEXT))
