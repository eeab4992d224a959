"""What the field set-up sheet says, in the reader's units and for the thrower's hand."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from deliverylab.core.cameras.quality import REFUSE_WITH_BODY_DEG, WARN_DEG
from deliverylab.core.report.field_layout import TARGET_X_M, FieldLayout, paced, taped
from deliverylab.core.report.wording import PAIN_CAUTION
from deliverylab.core.units import UnitSystem

Sign = Literal["", "dot", "box", "number"]

CAUTIONS = (
    (
        "Keep phones, tripods and people out of the ball’s flight, thrown or batted; where somebody "
        "bats, behind a net or screen."
    ),
    "Your league’s rules come first, on the field as on pitch counts and rest.",
    PAIN_CAUTION,
)


FIGURES = "Grey: where the delivery begins. Dark: the end of the stride. Drawn to scale."


@dataclass(frozen=True)
class Step:
    """A step: its heading, what to do, and the sign before each item."""

    title: str
    items: tuple[str, ...]
    sign: Sign = ""


@dataclass(frozen=True, kw_only=True)
class SheetWords:
    """All words of a sheet but those in the drawings."""

    title: str
    under: str
    bring: Step
    lay: Step
    stand_title: str
    side: Step
    rear: Step
    settings: Step
    film: Step
    check: Step
    desk: Step


def sheet_words(layout: FieldLayout, system: UnitSystem) -> SheetWords:
    """Write a sheet."""
    hand = f"{layout.hand}-hander"
    return SheetWords(
        title="Two phones on the field",
        under=f"Set-up sheet · {layout.field.name} · {hand}",
        bring=Step(
            "1  Bring",
            (
                "two phones, two tripods that can be levelled",
                "two low cones or flat discs, a tape",
                "if at hand: a straight pole of known length, to stand upright over a cone",
            ),
            "dot",
        ),
        lay=_lay(layout, system),
        stand_title="3  Stand the phones",
        side=_side(layout, system),
        rear=_rear(layout, system),
        settings=_settings(layout, system),
        film=_film(layout),
        check=Step(
            "6  Check before you leave",
            (
                "4 corners and 2 cones show in both pictures",
                "the delivery stays in the middle half of both",
                "nobody touched a tripod or the zoom",
                "optional: a clap or ball strike in both pictures",
                "body height, measured: ________________",
            ),
            "box",
        ),
        desk=Step(
            "7  At the desk",
            (
                "In both pictures click the four corners of the rubber and the foot of each cone.",
                "Type in body height; mark events and place landmarks in both clips.",
                (
                    "Solve. The predicted error of body directions is good below "
                    f"{WARN_DEG:g}°; above {REFUSE_WITH_BODY_DEG:g}° it is refused."
                ),
            ),
            "number",
        ),
    )


def _lay(layout: FieldLayout, system: UnitSystem) -> Step:
    ahead_m, beside_m, _ = layout.cones[0].place_m
    worn = ("Worn or portable mound: tape each cone’s drop below the rubber.",)
    return Step(
        "2  Lay out the cones",
        (
            (
                "From the middle of the rubber’s front edge, tape level: "
                f"{taped(ahead_m, system)} toward the plate, then {taped(beside_m, system)} to "
                "each side."
            ),
            (
                f"Check: {taped(math.hypot(ahead_m, beside_m), system)} from there to each cone, "
                f"{taped(2.0 * beside_m, system)} between them."
            ),
            *(worn if layout.field.rubber_height_m else ()),
        ),
    )


def _side(layout: FieldLayout, system: UnitSystem) -> Step:
    base, other_hand, other_base = (
        ("third", "left", "first") if layout.open_side < 0 else ("first", "right", "third")
    )
    return Step(
        "Side phone",
        (
            (
                f"On the {base}-base side ({other_hand}-hander: {other_base}), square to the line "
                f"to the plate, about {paced(layout.side_distance_m, system)} from it, beside a "
                f"spot {paced(TARGET_X_M, system)} ahead of the rubber."
            ),
        ),
    )


def _rear(layout: FieldLayout, system: UnitSystem) -> Step:
    above = paced(layout.lens_above_field_m, system)
    return Step(
        "Rear phone",
        (
            (
                "Straight behind the rubber, on the line to the plate, about "
                f"{paced(layout.behind_rubber_m, system)} behind the rubber’s front edge. "
                f"Both lenses about {above} above flat ground."
            ),
        ),
    )


def _settings(layout: FieldLayout, system: UnitSystem) -> Step:
    side, rear = layout.zoom("open-side"), layout.zoom("rear")
    if side != rear:
        zoom = f"zoom: side {side}×, rear {rear}×; then left alone"
    elif side == 1:
        zoom = f"zoom 1×, then left alone (from {paced(11.0, system)}: 2×)"
    else:
        zoom = f"zoom 2×, then left alone (from {paced(6.0, system)}: 1×)"
    return Step(
        "4  Set, the same on both phones",
        (
            "main camera, phone lying sideways",
            zoom,
            "1080p, the highest frame rate that both offer",
            "stabilisation off; focus and exposure locked",
            "exposure short: 1/1000 s or shorter",
            "level: no tilt, no roll, by the phone’s own level",
        ),
        "dot",
    )


def _film(layout: FieldLayout) -> Step:
    empty = "mound" if layout.field.rubber_height_m else "field"
    return Step(
        "5  Film in this order",
        (
            f"First the empty {empty}: rubber and both cones.",
            "The athlete steps on and throws.",
            "Start and stop without shifting a phone.",
            "More deliveries share this set-up, as long as nothing is moved or zoomed.",
        ),
        "number",
    )
