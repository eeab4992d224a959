"""What the window remembers between two starts: a table, and access to it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QSettings


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One remembered thing: its key, what it is at first, what it is for, and what it may be."""

    key: str
    default: Any
    about: str
    choices: tuple[Any, ...] = ()


SETTINGS: tuple[Setting, ...] = (
    Setting(
        key="look",
        default="dark",
        about="colours of the window",
        choices=("dark", "light", "system"),
    ),
    Setting(
        key="type_scale",
        default=1.0,
        about="factor of the system's type size",
        choices=(0.9, 1.0, 1.15, 1.3, 1.5),
    ),
    Setting(
        key="unit_system",
        default="metric",
        about="units that new projects are shown in",
        choices=("metric", "imperial"),
    ),
    Setting(key="is_linked", default=True, about="the partner follows at the same phase"),
    Setting(
        key="is_by_landmark",
        default=False,
        about="one landmark is placed through the frames, not frame by frame",
    ),
    Setting(key="goes_on", default=True, about="the stage goes by itself to what is placed next"),
    Setting(
        key="anchor",
        default="pelvis",
        about="what two bodies laid over each other have in common",
        choices=("pelvis", "foot"),
    ),
    Setting(key="has_measures", default=True, about="measurements are drawn on the picture"),
    Setting(key="paper", default="a4", about="size of the page", choices=("a4", "letter")),
    Setting(key="recent", default=[], about="project files opened last, newest first"),
    Setting(key="folder", default="", about="folder in which a file was chosen last"),
    Setting(key="placer", default="", about="who placed landmarks again last"),
    Setting(key="geometry", default="", about="place and size of the window"),
    Setting(key="columns", default=[], about="widths of the window's three columns"),
)

BY_KEY: dict[str, Setting] = {setting.key: setting for setting in SETTINGS}
N_RECENT = 10


class Settings:
    """Values of the table, kept in the system's own place; a damaged one falls back to its default.

    Parameters
    ----------
    store : QSettings, optional
        Where to keep them; the user's own place when left out.
    """

    def __init__(self, store: QSettings | None = None) -> None:
        self._store = store or QSettings("deliverylab", "deliverylab")

    def get(self, key: str) -> Any:
        """Return the value of a key of the table."""
        setting = BY_KEY[key]
        try:
            value = json.loads(str(self._store.value(key)))
        except ValueError:
            return setting.default
        wanted = (int, float) if isinstance(setting.default, float) else type(setting.default)
        if not isinstance(value, wanted) or (setting.choices and value not in setting.choices):
            return setting.default
        return value

    def put(self, key: str, value: Any) -> None:
        """Remember a value of a key of the table."""
        self._store.setValue(BY_KEY[key].key, json.dumps(value))

    def remember_recent(self, path: str) -> None:
        """Put a project file at the top of those opened last."""
        others = [one for one in self.get("recent") if one != path]
        self.put("recent", [path, *others][:N_RECENT])

    def forget_recent(self, path: str) -> None:
        """Take a project file off the list."""
        self.put("recent", [one for one in self.get("recent") if one != path])
