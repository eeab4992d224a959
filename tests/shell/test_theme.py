from __future__ import annotations

import re

import pytest
import shiboken6
from PySide6.QtCore import QObject
from PySide6.QtGui import QColor

from deliverylab.shell import theme as theme_module
from deliverylab.shell.actions import ACTIONS
from deliverylab.shell.theme import DARK, LIGHT, Colours, icon, icon_dir, svg_pixmap, theme


@pytest.fixture
def dressed(qapp):
    theme().apply(qapp, "dark", 1.0)
    yield theme()
    theme().apply(qapp, "dark", 1.0)


def _luminance(colour: str) -> float:
    # WCAG 2.2, relative luminance
    def linear(share: float) -> float:
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    ink = QColor(colour)
    return (
        0.2126 * linear(ink.redF()) + 0.7152 * linear(ink.greenF()) + 0.0722 * linear(ink.blueF())
    )


def _contrast(a: str, b: str) -> float:
    high, low = sorted((_luminance(a), _luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("colours", [DARK, LIGHT], ids=["dark", "light"])
@pytest.mark.parametrize("ground", ["pane", "raised", "ground"])
def test_text_can_be_read_on_every_ground(colours, ground):
    on = getattr(colours, ground)
    for name in ("text", "quiet", "good", "caution", "problem", "throwing", "glove", "model"):
        # WCAG 2.2, 1.4.3: 4.5 for text of normal size; signal colours also meet it on panes
        least = 4.5 if name in {"text", "quiet"} or ground != "ground" else 3.0
        assert _contrast(getattr(colours, name), on) >= least, (name, ground)
    assert _contrast(colours.accent, colours.on_accent) >= 4.5


def test_every_action_with_an_icon_has_its_drawing():
    names = {action.icon for action in ACTIONS if action.icon}
    assert names <= {path.stem for path in icon_dir().glob("*.svg")}


def test_icons_are_drawn_in_the_ink_of_the_theme(qapp):
    for path in icon_dir().glob("*.svg"):
        assert "currentColor" in path.read_text(encoding="utf-8"), path.name
        image = svg_pixmap(path.stem, "#ff0000", 24).toImage()
        inks = {
            image.pixelColor(x, y).name()
            for x in range(24)
            for y in range(24)
            if image.pixelColor(x, y).alpha() == 255
        }
        assert inks == {"#ff0000"}, path.name


def test_icons_are_found_in_a_wheel_and_in_a_checkout(monkeypatch, tmp_path):
    for folder in ("checkout/icons", "wheel/deliverylab/icons"):
        (tmp_path / folder).mkdir(parents=True)
        (tmp_path / folder / "x.svg").touch()
    for top in ("checkout", "wheel"):
        (tmp_path / top / "deliverylab" / "shell").mkdir(parents=True)
        monkeypatch.setattr(
            theme_module, "__file__", str(tmp_path / top / "deliverylab/shell/theme.py")
        )
        found = icon_dir()
        assert (found / "x.svg").is_file()
        assert found.parent.name == ("checkout" if top == "checkout" else "deliverylab")
    monkeypatch.setattr(theme_module, "__file__", str(tmp_path / "none/deliverylab/shell/theme.py"))
    with pytest.raises(FileNotFoundError):
        icon_dir()


def test_the_look_changes_colours_and_type_size(dressed, qapp):
    size = qapp.font().pointSizeF()
    heard = []
    dressed.changed.connect(lambda: heard.append(dressed.colours))
    dressed.apply(qapp, "light", 1.5)
    assert heard == [LIGHT]
    assert qapp.font().pointSizeF() == pytest.approx(1.5 * size, abs=0.1)
    assert qapp.palette().window().color().name() == LIGHT.ground


def test_the_style_sheet_leaves_no_placeholder(dressed, qapp):
    assert not re.search(r"\$\{?\w", qapp.styleSheet())
    for name in Colours.__annotations__:
        assert re.fullmatch("#[0-9a-f]{6}", getattr(DARK, name))


def test_reactions_end_with_their_receiver(dressed, qapp):
    heard = []
    receiver = QObject()
    theme_module.on_theme_changed(receiver, lambda: heard.append(1))
    dressed.changed.emit()
    assert len(heard) == 2
    shiboken6.delete(receiver)
    dressed.changed.emit()
    assert len(heard) == 2


def test_icons_have_a_greyed_form(dressed):
    assert not icon("save").isNull()
