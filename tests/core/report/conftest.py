"""Invented deliveries and differences for the page, and its text read back."""

from __future__ import annotations

from typing import NamedTuple

import msgspec
import numpy as np
import pypdfium2
import pytest

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec

RATE_HZ = 120
SIZE_PX = (1280, 720)
LONG = "Maximiliana-Ekaterina van der Westhuizen-Przybyłowska de la Fuente y Montenegro III"


class TextBox(NamedTuple):
    """A piece of text on a page, points."""

    left: float
    bottom: float
    right: float
    top: float
    text: str

    def overlap(self, other) -> float:
        """Return how far two boxes reach into each other, the smaller direction; 0 when apart."""
        across = min(self.right, other.right) - max(self.left, other.left)
        up = min(self.top, other.top) - max(self.bottom, other.bottom)
        return max(0.0, min(across, up))


def _delivery(name, athlete, hand, **spec):
    height_m = spec.setdefault("height_m", 1.85)
    motion = build_delivery(DeliverySpec(hand=hand, **spec), rate_hz=RATE_HZ)
    seen_by = camera_for_view("open-side", hand, distance_m=8.0, size_px=SIZE_PX, focal_px=1900.0)
    tracks = {}
    for key, places in motion.motion.positions_at(motion.times_s).items():
        xy_px = seen_by.project(places)
        tracks[key] = Track.of(
            (frame, Position(float(x), float(y)))
            for frame, (x, y) in enumerate(xy_px)
            if np.isfinite(x)
        )
    events = motion.motion.events()
    camera = Camera(
        name="side",
        view="open-side",
        width_px=SIZE_PX[0],
        height_px=SIZE_PX[1],
        timing=Timing(n_frames=len(motion.times_s), stored_rate=str(RATE_HZ)),
        scale=PlanarScale(
            a=Point(400.0, 600.0),
            b=Point(637.5, 600.0),
            length_m=1.0,
            distance_m=8.0,
            u_distance_m=0.1,
            u_yaw_deg=0.5,
        ),
        marks={key: Mark(time_s=float(time_s)) for key, time_s in events.items()},
        tracks=tracks,
    )
    return Delivery(
        name=name,
        athlete=Athlete(name=athlete, hand=hand, height_m=height_m),
        cameras=(camera,),
        date="2026-05-14",
        ball_speed_m_s=31.4,
    )


@pytest.fixture(scope="session")
def athlete():
    """A left-hander with a short stride."""
    return _delivery("bullpen 3", "Noor V.", "left", stride_percent_height=70.0, height_m=1.80)


@pytest.fixture(scope="session")
def model():
    """A right-hander with the published means."""
    return _delivery("means", "College means", "right", height_m=1.88)


@pytest.fixture(scope="session")
def frame_source():
    """Give a picture that is bright above and dark below."""
    shade = np.linspace(250, 20, SIZE_PX[1]).astype(np.uint8)[:, None, None]
    shown = np.broadcast_to(shade, (SIZE_PX[1], SIZE_PX[0], 3))

    def picture(_delivery, _camera, _frame):
        return shown

    return picture


@pytest.fixture(scope="session")
def make_result():
    """Build a result of a catalogue metric."""

    def build(metric="trunk_forward_tilt", event="release", value=25.0, u=1.0, **fields):
        spec = BY_KEY[metric]
        built = Result(
            delivery="d",
            metric=metric,
            event=event,
            name=spec.name,
            phase=spec.phase,
            unit=spec.unit,
            decimals=spec.decimals,
            status="measured",
            value=value,
            u=u,
            definition=spec.definition,
            camera="side",
            view="open-side",
        )
        return msgspec.structs.replace(built, **fields)

    return build


@pytest.fixture(scope="session")
def make_difference(make_result):
    """Build a difference of a catalogue metric."""

    def build(metric, event, a, b, u=1.0, *, rank=None, **fields):
        spec = BY_KEY[metric]
        if a is None:
            hidden = {"status": "not_shown", "value": None, "u": None, **fields}
            result = make_result(metric, event, **hidden)
            return Difference(a=result, b=result, verdict="not_comparable", reason="in both: x")
        d, u_d = a - b, u * np.sqrt(2.0)
        is_clear = abs(d) > 2.0 * u_d
        return Difference(
            a=make_result(metric, event, a, u),
            b=make_result(metric, event, b, u),
            verdict="clear" if is_clear else "within_error",
            d=d,
            u=float(u_d),
            words=(spec.more if d > 0 else spec.less) if is_clear else "",
            rank=rank if is_clear else None,
        )

    return build


@pytest.fixture(scope="session")
def make_differences(make_difference):
    """Build n clear differences, some within error, some not comparable."""
    specs = [
        (key, event)
        for key, spec in BY_KEY.items()
        for event in (spec.events if spec.kind in {"at_event", "speed"} else ("",))
    ]

    def build(n_clear, n_alike=6, n_hidden=6):
        places = iter(specs * 3)
        clear = [
            make_difference(*next(places), 111.1, 99.0, rank=number + 1)
            for number in range(n_clear)
        ]
        alike = [make_difference(*next(places), 20.0, 20.5) for _ in range(n_alike)]
        hidden = [
            make_difference(
                *next(places),
                None,
                None,
                reason=f"one camera does not show it: because {number}",
                remedy="" if number == 0 else f"film from place {number % 4}, and hold still",
            )
            for number in range(n_hidden)
        ]
        return [*clear, *alike, *hidden]

    return build


@pytest.fixture(scope="session")
def text_boxes():
    """Read the pieces of text of a one-page PDF."""

    def read(pdf: bytes) -> list[TextBox]:
        document = pypdfium2.PdfDocument(pdf)
        page = document[0]
        text = page.get_textpage()
        boxes = []
        for number in range(text.count_rects()):
            box = text.get_rect(number)
            boxes.append(TextBox(*box, text.get_text_bounded(*box)))
        text.close()
        page.close()
        document.close()
        return boxes

    return read


@pytest.fixture(scope="session")
def page_text():
    """Read all text of a one-page PDF, its white space single."""

    def read(pdf: bytes) -> str:
        document = pypdfium2.PdfDocument(pdf)
        page = document[0]
        text = page.get_textpage()
        said = " ".join(text.get_text_range().split())
        text.close()
        page.close()
        document.close()
        return said

    return read


@pytest.fixture
def canvas():
    """Give an A4 canvas in memory, and a way to finish it."""
    import io

    from reportlab.pdfgen.canvas import Canvas

    buffer = io.BytesIO()
    sheet = Canvas(buffer, pagesize=(595.0, 842.0), invariant=1)

    def finish() -> bytes:
        sheet.showPage()
        sheet.save()
        return buffer.getvalue()

    sheet.finish = finish
    return sheet
