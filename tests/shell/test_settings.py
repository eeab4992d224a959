from __future__ import annotations

import pytest
from PySide6.QtCore import QSettings

from deliverylab.shell.settings import N_RECENT, SETTINGS, Settings


@pytest.fixture
def store(tmp_path):
    return QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)


def test_keys_are_unique_and_every_default_is_a_choice():
    keys = [setting.key for setting in SETTINGS]
    assert len(keys) == len(set(keys))
    for setting in SETTINGS:
        assert not setting.choices or setting.default in setting.choices
        assert setting.about


def test_values_survive_and_unknown_keys_are_refused(store, tmp_path):
    settings = Settings(store)
    for setting in SETTINGS:
        assert settings.get(setting.key) == setting.default
    settings.put("look", "light")
    settings.put("type_scale", 1.3)
    settings.put("columns", [1, 2, 3])
    store.sync()
    again = Settings(QSettings(store.fileName(), QSettings.Format.IniFormat))
    assert (again.get("look"), again.get("type_scale")) == ("light", 1.3)
    assert again.get("columns") == [1, 2, 3]
    with pytest.raises(KeyError):
        settings.put("unknown", 1)


@pytest.mark.parametrize("damaged", ["{", '"purple"', "3", "null"])
def test_a_damaged_value_gives_the_default(store, damaged):
    store.setValue("look", damaged)
    assert Settings(store).get("look") == "dark"


def test_recent_files_are_few_unique_and_newest_first(store):
    settings = Settings(store)
    for number in range(N_RECENT + 3):
        settings.remember_recent(f"/a/{number}.delivery")
    settings.remember_recent("/a/5.delivery")
    recent = settings.get("recent")
    assert recent[0] == "/a/5.delivery"
    assert len(recent) == len(set(recent)) == N_RECENT
    settings.forget_recent("/a/5.delivery")
    assert "/a/5.delivery" not in settings.get("recent")
