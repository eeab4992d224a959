from __future__ import annotations

import pytest

from deliverylab.core.errors import OutputError, ProjectFileError
from deliverylab.core.model.precision import PlacingPrecision
from deliverylab.core.store import personal
from deliverylab.core.store.personal import personal_file, remember, remembered

OWN = PlacingPrecision(
    placer="Sam", date="2026-05-01", u_m={"hip": 0.021}, n_degrees_of_freedom={"hip": 24}
)


def test_figures_are_remembered_by_name(tmp_path):
    file = tmp_path / "made" / "placing.json"
    assert remembered(file) == {}
    assert remember(OWN, file) == file
    other = PlacingPrecision(placer="Kim")
    remember(other, file)
    assert remembered(file) == {"Sam": OWN, "Kim": other}
    later = PlacingPrecision(placer="Sam", date="2026-06-01")
    remember(later, file)
    assert remembered(file)["Sam"] == later


@pytest.mark.parametrize(
    "text",
    ["{", '{"format": "other"}', '{"people": {"Sam": {"placer": "Sam", "u_m": {"hip": -1}}}}'],
)
def test_a_damaged_record_is_named_and_left_alone(tmp_path, text):
    file = tmp_path / "placing.json"
    file.write_text(text)
    with pytest.raises(ProjectFileError, match="cannot be read"):
        remember(OWN, file)
    assert file.read_text() == text


def test_a_folder_that_cannot_be_made_is_named(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises((OutputError, ProjectFileError)):
        remember(OWN, tmp_path / "file" / "placing.json")


def test_it_lies_in_the_users_data_folder(monkeypatch, tmp_path):
    monkeypatch.setattr(personal.platformdirs, "user_data_path", lambda *_, **__: tmp_path)
    assert personal_file() == tmp_path / "placing.json"
