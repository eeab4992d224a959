from __future__ import annotations

import json
import sys
from types import SimpleNamespace

import pytest

from deliverylab.cli import project_commands
from deliverylab.cli.project_commands import has_display


def test_a_sound_project_passes_the_check(run, made):
    status, out, err = run("check", made)
    assert (status, err) == (0, "")
    assert out.startswith("ok")


def test_a_problem_is_told_with_its_remedy_and_changes_the_status(run, tmp_path):
    path = tmp_path / "a.delivery"
    typed = ("--size", "640x480", "--frames", "90", "--rate", "60")
    assert run("new", path, "--delivery", "Ana 1", *typed)[0] == 0
    status, out, err = run("check", path)
    assert status == 1
    assert out.splitlines()[0].startswith("PROBLEM Ana 1: main: there is no scale")
    assert "1 problem to mend" in err
    status, text, _ = run("check", path, "--json", "-")
    rows = json.loads(text)
    assert (status, rows[0]["level"]) == (1, "problem")
    assert all(set(row) == {"level", "where", "what", "remedy"} for row in rows)


def test_a_damaged_project_is_told_where(run, project):
    project.write_bytes(project.read_bytes().replace(b'"hand": "right"', b'"hand": "both"', 1))
    status, _, err = run("check", project)
    assert status == 4
    assert "$.project.deliveries[0].athlete.hand" in err
    project.write_bytes(project.read_bytes().replace(b'"version": 1', b'"version": 9', 1))
    assert run("check", project)[0] == 5


def test_the_schema_is_json(run):
    status, out, _ = run("schema")
    assert status == 0
    assert "Envelope" in json.loads(out)["$defs"]


@pytest.mark.parametrize(
    ("platform", "environment", "expected"),
    [
        ("linux", {}, False),
        ("linux", {"DISPLAY": ":0"}, True),
        ("linux", {"WAYLAND_DISPLAY": "wayland-0"}, True),
        ("linux", {"DISPLAY": ":0", "QT_QPA_PLATFORM": "offscreen"}, False),
        ("linux", {"QT_QPA_PLATFORM": "vnc:size=800x600"}, True),
        ("darwin", {}, True),
        ("win32", {}, True),
        ("win32", {"QT_QPA_PLATFORM": "minimal"}, False),
    ],
)
def test_a_display_is_noticed(monkeypatch, platform, environment, expected):
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(project_commands.sys, "platform", platform)
    assert has_display() == expected


def test_open_refuses_a_bad_file_before_a_window_appears(run, tmp_path, monkeypatch):
    shown = []
    monkeypatch.setattr(project_commands, "show_window", lambda path: shown.append(path) or 0)
    assert run("open", tmp_path / "none.delivery")[0] == 6
    assert shown == []
    assert run("open")[0] == 0
    assert shown == [None]


def test_open_shows_the_project(run, made, monkeypatch):
    shown = []
    monkeypatch.setattr(project_commands, "show_window", lambda path: shown.append(path) or 0)
    assert run("open", made)[0] == 0
    assert shown == [str(made)]


def test_the_window_is_not_tried_without_a_display(run, made, monkeypatch):
    monkeypatch.setitem(sys.modules, "deliverylab.shell.app", SimpleNamespace(main=lambda _: 0))
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(project_commands.sys, "platform", "linux")
    status, _, err = run("open", made)
    assert (status, "there is no display here" in err) == (2, True), err
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")  # asked for by name
    assert run("open", made) == (0, "", "")


def test_the_demo_says_where_everything_is(run, tmp_path, monkeypatch):
    shown = []
    monkeypatch.setattr(project_commands, "show_window", lambda path: shown.append(path) or 0)
    status, out, _ = run("demo", "--no-window", "--out", tmp_path / "d")
    assert (status, shown) == (0, [])
    for name in ("page.pdf", "page.png", "demo.delivery", "results.csv", "differences.json"):
        assert str(tmp_path / "d" / name) in out
        assert (tmp_path / "d" / name).is_file()


@pytest.mark.parametrize("has_one", [True, False])
def test_the_demo_opens_the_window_where_there_is_a_display(run, tmp_path, monkeypatch, has_one):
    shown = []
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(project_commands, "has_display", lambda: has_one)
    monkeypatch.setattr(project_commands, "show_window", lambda path: shown.append(path) or 0)
    status, out, _ = run("demo")
    assert status == 0
    assert (tmp_path / "deliverylab-demo" / "page.pdf").is_file()
    assert [path.name for path in shown] == (["demo.delivery"] if has_one else [])
    assert ("deliverylab open" in out) != has_one
