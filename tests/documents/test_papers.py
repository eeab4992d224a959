"""What the papers at the top of the repository claim about it."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import deliverylab

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
CHANGELOG = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def _command(name: str) -> str:
    (block,) = re.findall(
        rf"^<!-- {name} -->\n```\n(.*?)\n```$", README, flags=re.MULTILINE | re.DOTALL
    )
    return block


def _environment_of(command: str) -> str:
    found = re.match(r"python3 -m venv (\S+) && ", command)
    assert found
    return found[1]


def test_each_of_the_two_commands_is_one_line_in_an_environment_of_its_own():
    commands = [_command("demo-command"), _command("test-command")]
    assert not any("\n" in command for command in commands)
    environments = [_environment_of(command) for command in commands]
    assert len(set(environments)) == 2
    for command, environment in zip(commands, environments, strict=True):
        parts = command.split(" && ")[1:]
        assert parts
        assert all(part.startswith(f"{environment}/bin/") for part in parts)


def test_the_environments_are_not_committed():
    ignored = (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()
    assert {".venv/", ".venv-*/"} <= set(ignored)


def test_the_demo_command_calls_an_installed_script():
    program = _command("demo-command").split(" && ")[-1].split()[0]
    assert Path(program).name in PROJECT["project"]["scripts"]


def test_the_readme_names_the_pythons_that_are_supported():
    classifiers = PROJECT["project"]["classifiers"]
    versions = [name for text in classifiers if "." in (name := text.rpartition(" ")[2])]
    assert f"Python {', '.join(versions[:-1])} or {versions[-1]}" in README
    low, high = re.findall(r"3\.(\d+)", PROJECT["project"]["requires-python"])
    assert versions == [f"3.{minor}" for minor in range(int(low), int(high))]


def test_links_between_the_papers_lead_somewhere():
    papers = sorted(ROOT.glob("*.md"))
    assert len(papers) >= 3
    for paper in papers:
        links = re.findall(r"\]\(([^)#]+)\)", paper.read_text(encoding="utf-8"))
        broken = [link for link in links if "://" not in link and not (ROOT / link).exists()]
        assert not broken, f"{paper.name}: {broken}"


def test_every_dependency_says_what_it_is_for():
    lines = (ROOT / "pyproject.toml").read_text(encoding="utf-8").splitlines()
    for dependency in PROJECT["project"]["dependencies"]:
        row = next(i for i, line in enumerate(lines) if f'"{dependency}"' in line)
        assert lines[row - 1].lstrip().startswith("#"), dependency
        assert re.search(r"[<>=]", dependency), f"{dependency} has no bound"


def test_the_changelog_is_in_order():
    headings = re.findall(r"^## \[([^\]]+)\]", CHANGELOG, flags=re.MULTILINE)
    assert headings[0] == "Unreleased"
    released = [tuple(map(int, heading.split("."))) for heading in headings[1:]]
    assert released == sorted(released, reverse=True)
    kinds = ["Added", "Changed", "Deprecated", "Removed", "Fixed", "Security"]
    for section in re.split(r"^## ", CHANGELOG, flags=re.MULTILINE)[1:]:
        used = re.findall(r"^### (.+)$", section, flags=re.MULTILINE)
        assert used == sorted(used, key=kinds.index)


def test_the_version_is_a_release_number():
    assert re.fullmatch(r"\d+\.\d+\.\d+", deliverylab.__version__)
