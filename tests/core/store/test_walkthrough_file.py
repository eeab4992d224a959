from __future__ import annotations

import json

import pytest
from hypothesis import given

from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.walkthrough import Drawing, Stop, Walkthrough
from deliverylab.core.store.walkthrough_file import read_script, script_json
from tests.core.model.handed_over import walkthroughs

PAIR = ("Ana 1", "Model")
SCRIPT = Walkthrough(
    pair=PAIR,
    stops=(
        Stop(
            event="release",
            caption="הכדור יוצא",
            metrics=(("arm_slot", "release"),),
            drawings=(Drawing(side="model", kind="line", points_px=((1.0, 2.0), (3.5, 4.0))),),
        ),
        Stop(phase=50.0, pause_s=1.5),
    ),
    speed=0.5,
    voice="ana.m4a",
)


def test_a_script_comes_back(tmp_path):
    path = tmp_path / "s.json"
    path.write_text(script_json(SCRIPT), encoding="utf-8")
    assert read_script(path, PAIR) == SCRIPT


@given(walkthroughs(PAIR))
def test_any_script_comes_back(tmp_path_factory, script):
    path = tmp_path_factory.mktemp("script") / "s.json"
    path.write_text(script_json(script), encoding="utf-8")
    assert read_script(path, PAIR) == script


def test_it_is_used_for_the_pair_that_is_asked_for(tmp_path):
    path = tmp_path / "s.json"
    path.write_text(script_json(SCRIPT), encoding="utf-8")
    assert read_script(path, ("Ana 2", "Model")).pair == ("Ana 2", "Model")


def test_a_person_can_read_it():
    text = script_json(SCRIPT)
    assert '"caption": "הכדור יוצא"' in text
    assert text.count("\n") > 20


def test_what_is_left_out_has_its_default(tmp_path):
    path = tmp_path / "s.json"
    path.write_text(json.dumps({"pair": PAIR, "stops": [{"event": "release"}]}), encoding="utf-8")
    found = read_script(path, PAIR)
    assert (found.speed, found.stops[0].pause_s) == (0.25, 3.0)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        '{"pair": ["a", "b"], "stopps": []}',
        '{"pair": ["a", "b"], "stops": [{"event": "release", "pause_s": 99}]}',
        '{"pair": ["a", "b"], "stops": [{"event": "release", "phase": 3.0}]}',
        '{"pair": ["a", "b"], "speed": "slow"}',
    ],
)
def test_what_is_no_script_is_refused(tmp_path, text):
    path = tmp_path / "s.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputValueError, match="no script") as refusal:
        read_script(path, PAIR)
    assert refusal.value.where == str(path)


def test_bytes_that_are_no_text_are_refused(tmp_path):
    path = tmp_path / "s.json"
    path.write_bytes(b'{"pair": ["\xff\xfe", "b"]}')
    with pytest.raises(InputValueError, match="no script"):
        read_script(path, PAIR)


def test_a_missing_file_and_a_folder_are_refused(tmp_path):
    with pytest.raises(NotFoundError):
        read_script(tmp_path / "none.json", PAIR)
    with pytest.raises(InputValueError):
        read_script(tmp_path, PAIR)
