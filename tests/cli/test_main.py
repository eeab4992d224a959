"""The frame of every command: help, one-line errors, exit statuses."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from deliverylab import __version__, cli
from deliverylab.cli import main
from deliverylab.cli.parser import build_parser
from deliverylab.core.errors import EXIT_CODES, UsageError

ROOT = Path(__file__).resolve().parents[2]
COMMANDS = (
    *("demo", "open", "new", "add", "scale", "place", "mark", "relink", "nearer"),
    *("timing", "ball", "fall", "get-detector", "detect", "track", "steady", "look"),
    *("repeat", "precision"),
    *("control", "cameras-from", "solve", "sync"),
    *("measure", "compare", "page", "chain", "order", "work-on", "library", "progress"),
    *("export", "pack", "unpack", "smooth", "trust", "walkthrough", "field-sheet"),
    *("check", "schema"),
)


def _subparsers():
    (action,) = [a for a in build_parser()._actions if a.dest == "==SUPPRESS=="] or [
        a for a in build_parser()._actions if hasattr(a, "choices") and a.choices
    ]
    return action.choices


def test_every_command_is_there_and_has_help(run):
    assert tuple(_subparsers()) == COMMANDS
    status, out, _ = run("--help")
    assert status == 0
    for command in COMMANDS:
        assert re.search(rf"^    {command}\s", out, re.MULTILINE)
        status, text, _ = run(command, "--help")
        assert status == 0
        assert f"usage: deliverylab {command}" in text


def test_every_option_says_what_it_means():
    waiting = list(_subparsers().items())
    for name, parser in waiting:
        for action in parser._actions:
            assert action.help, f"{name}: {action.dest}"
            if isinstance(action.choices, dict):  # a command with commands of its own
                waiting += [(f"{name} {inner}", each) for inner, each in action.choices.items()]


def test_help_names_every_exit_status(run):
    _, out, _ = run("--help")
    listed = out.partition("exit status")[2].splitlines()[1:]
    assert [int(line.split()[0]) for line in listed if line.strip()] == [
        kind.exit_code for kind in EXIT_CODES
    ]


def test_sign_conventions_are_in_the_help(run):
    _, out, _ = run("scale", "--help")
    text = " ".join(out.split())
    assert "lean of the true vertical from the picture's upward edge, clockwise positive" in text
    assert "anticlockwise seen from above positive" in text
    _, out, _ = run("mark", "--help")
    assert "clip's own clock" in out


def test_the_version_is_printed(run):
    status, out, _ = run("--version")
    assert (status, out) == (0, f"deliverylab {__version__}\n")


@pytest.mark.parametrize(
    ("arguments", "status", "said"),
    [
        ([], 2, "the following arguments are required: COMMAND"),
        (["measure"], 2, '"deliverylab measure --help" shows how'),
        (["polish"], 2, "invalid choice"),
        (["measure", "none.delivery"], 6, "there is no such project file (none.delivery)"),
        (["new", "a.delivery", "--delivery", "A", "--clip", "none.mp4"], 3, "does not exist"),
        (["new", "a.delivery", "--delivery", "A", "--size", "10"], 2, "write 1920x1080"),
        (["new", "a.delivery", "--delivery", "A", "--heigth", "1"], 2, "unrecognized arguments"),
        (["new", "a.delivery", "--del", "A"], 2, "--delivery"),
    ],
)
def test_a_failure_is_one_line_with_a_status_of_its_own(
    run, arguments, status, said, tmp_path, monkeypatch
):
    monkeypatch.chdir(tmp_path)
    found, out, err = run(*arguments)
    assert found == status
    assert out == ""
    assert err.startswith("deliverylab: ")
    assert said in err
    assert err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_a_fault_of_the_program_is_owned_up_to(run, monkeypatch):
    def broken(*_):
        raise ZeroDivisionError("made for the test")

    monkeypatch.setattr("deliverylab.core.store.schema.json_schema", broken)
    status, _, err = run("schema")
    assert status == cli.EXIT_FAULT
    assert "made for the test" in err
    assert "fault of deliverylab itself" in err.splitlines()[-1]


def test_an_interruption_is_no_fault(run, monkeypatch):
    def interrupted():
        raise KeyboardInterrupt

    monkeypatch.setattr("deliverylab.core.store.schema.json_schema", interrupted)
    status, _, err = run("schema")
    assert (status, err) == (cli.EXIT_INTERRUPTED, "deliverylab: interrupted\n")


def test_the_parser_raises_in_place_of_leaving():
    with pytest.raises(UsageError):
        build_parser().parse_args(["mark"])


def _separately(*arguments, **environment):
    return subprocess.run(
        [sys.executable, "-m", "deliverylab", *arguments],
        cwd=ROOT,
        env=os.environ | environment,
        capture_output=True,
        check=False,
        text=True,
        encoding="utf-8",
    )


def test_it_runs_as_a_program_of_its_own(made):
    done = _separately("measure", str(made), "--delivery", "Model", "--json", "-")
    assert done.returncode == 0, done.stderr
    assert {row["delivery"] for row in json.loads(done.stdout)} == {"Model"}
    failed = _separately("measure", "none.delivery")
    assert failed.returncode == 6
    assert failed.stderr.count("\n") == 1


def test_a_terminal_without_such_characters_gets_others(made):
    done = _separately("measure", str(made), PYTHONIOENCODING="ascii:strict", PYTHONUTF8="0")
    assert done.returncode == 0, done.stderr


@pytest.mark.skipif(not Path("/bin/bash").exists(), reason="needs a shell with pipes")
def test_a_reader_that_has_seen_enough_is_no_failure(made):
    command = f"{sys.executable} -m deliverylab measure {made} --json - | head -n 1"
    done = subprocess.run(
        ["/bin/bash", "-o", "pipefail", "-c", command],
        cwd=ROOT,
        capture_output=True,
        check=False,
        text=True,
    )
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs the device that is always full")
def test_an_output_that_is_full_is_said(made):
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "deliverylab", "measure", str(made), "--json", "-"],
            cwd=ROOT,
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
            text=True,
        )
    assert done.returncode == 8
    assert done.stderr == "deliverylab: the output is lost: No space left on device\n"


def test_a_closed_output_is_no_failure(run, monkeypatch):
    monkeypatch.setattr(sys, "stdout", None)
    assert main(["schema"]) == 0
    sys.stdout.close()


_WITHOUT_QT = """
import sys
class NoWindow:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {"PySide6", "shiboken6", "pyqtgraph"}:
            raise ImportError(f"{name} is refused here")
sys.meta_path.insert(0, NoWindow())
from deliverylab.cli import main
sys.exit(main(sys.argv[1:]))
"""


def test_no_command_but_the_window_needs_qt(made, tmp_path):
    def run(*arguments):
        return subprocess.run(
            [sys.executable, "-c", _WITHOUT_QT, *arguments],
            cwd=ROOT,
            capture_output=True,
            check=False,
            text=True,
        )

    done = run("page", str(made), "Ana 1", "Model", "--out", str(tmp_path / "page.pdf"))
    assert done.returncode == 0, done.stderr
    refused = run("open", str(made))
    assert refused.returncode == 2
    assert "the window cannot start here" in refused.stderr


def test_main_takes_the_arguments_of_the_process(monkeypatch, capsys):
    monkeypatch.setattr(sys, "argv", ["deliverylab", "--version"])
    assert main() == 0
    assert capsys.readouterr().out.startswith("deliverylab ")
