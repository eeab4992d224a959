"""The drawing of DEVELOPERS.md as a table, and the source held against it.

Run as a program, it writes the table into DEVELOPERS.md:  python tests/test_architecture.py
"""

from __future__ import annotations

import ast
import subprocess
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "deliverylab"
DEVELOPERS = ROOT / "DEVELOPERS.md"
TABLE_START, TABLE_END = "<!-- import-table:start -->", "<!-- import-table:end -->"


@dataclass(frozen=True, kw_only=True)
class Layer:
    """What one package or module is for, and whom it may know."""

    holds: str
    ours: tuple[str, ...] = ()
    libraries: tuple[str, ...] = ()
    disk: bool = False


_VALUES = ("core.errors", "core.units", "core.vocabulary")
# What a part of the window needs to draw: results and values, never the project or its changes.
_DRAWN = (
    *_VALUES,
    "core.model.athlete",
    "core.model.delivery",
    "core.model.field",
    "core.model.library",
    "core.model.plan",
    "core.model.scale",
    "core.model.space",
    "core.model.timing",
    "core.model.track",
    "core.model.walkthrough",
    "core.video",
    "core.events",
    "core.metrics",
    "core.compare",
    "core.report",
)
_BELOW_WORKFLOW = (
    *_VALUES,
    "core.cameras",
    "core.model",
    "core.video",
    "core.tracking",
    "core.store",
    "core.events",
    "core.metrics",
    "core.compare",
    "core.report",
    "core.synthetic",
)
_CORE = (*_BELOW_WORKFLOW, "core.workflow")

# Read from the top: a layer may know only what stands above it, so that there is no way round.
# A name is a package with all that lies in it, or one module.
MAY_IMPORT: dict[str, Layer] = {
    "core": Layer(holds="nothing but its docstring"),
    "core.errors": Layer(holds="what failed, where, what to do; exit codes"),
    "core.units": Layer(holds="units, conversions, value ± u as text", ours=("core.errors",)),
    "core.vocabulary": Layer(
        holds="tables: landmarks, segments, events, views, field",
        ours=("core.errors", "core.units"),
    ),
    "core.numerics": Layer(
        holds="mathematics on arrays; knows no delivery",
        ours=("core.errors",),
        libraries=("numpy", "scipy"),
    ),
    "core.cameras": Layer(
        holds="pixels to metres: one camera and a plane, or cameras and space",
        ours=(*_VALUES, "core.numerics"),
        # OpenCV finds where a camera stood from points alone: a start for the solve
        libraries=("cv2", "numpy", "scipy"),
    ),
    "core.model": Layer(
        holds="frozen values, and every edit as a change with its inverse",
        ours=(*_VALUES, "core.numerics"),
        libraries=("msgspec", "numpy"),
    ),
    "core.video": Layer(
        holds="clips: what is in them, exact frames, writing",
        ours=("core.errors",),
        libraries=("av", "cv2", "numpy", "platformdirs"),
        disk=True,
    ),
    "core.tracking": Layer(
        holds="finding and following things in pictures: the ball in flight, landmarks",
        ours=("core.errors", "core.numerics"),
        libraries=("cv2", "numpy", "scipy"),
    ),
    "core.store": Layer(
        holds="project files, their versions, recovery; trajectories as C3D files",
        ours=("core.errors", "core.units", "core.vocabulary", "core.model", "core.video"),
        # ezc3d is an extra, loaded when such a file is written or read
        libraries=("ezc3d", "msgspec", "numpy", "platformdirs"),
        disk=True,
    ),
    "core.events": Layer(
        holds="suggesting and questioning event marks",
        ours=(*_VALUES, "core.numerics", "core.model"),
        libraries=("numpy",),
    ),
    "core.metrics": Layer(
        holds="the catalogue; values with u, or why there is none",
        ours=(*_VALUES, "core.numerics", "core.cameras", "core.model", "core.events"),
        libraries=("msgspec", "numpy"),
    ),
    "core.compare": Layer(
        holds="two deliveries side by side: phase, differences, verdicts",
        ours=(*_VALUES, "core.numerics", "core.model", "core.metrics"),
        libraries=("msgspec", "numpy", "scipy"),
    ),
    "core.synthetic": Layer(
        holds="invented deliveries of known truth",
        ours=("core.errors", "core.units", "core.vocabulary", "core.numerics", "core.cameras"),
        libraries=("cv2", "numpy", "scipy"),
    ),
    "core.report": Layer(
        holds="the page, the field set-up sheet, the tables that are handed over",
        # the sheet shows how a field and an athlete fall into the picture of a phone that stands well
        ours=(
            *_VALUES,
            "core.cameras",
            "core.model",
            "core.video",
            "core.metrics",
            "core.compare",
            "core.synthetic",
        ),
        # pyarrow is an extra, loaded when a table goes to Parquet
        libraries=("cv2", "numpy", "pandas", "pyarrow", "pypdfium2", "reportlab"),
        disk=True,
    ),
    "core.workflow": Layer(
        holds="what a person does with the parts: intake, checklist, health, the demo",
        ours=("core.numerics", *_BELOW_WORKFLOW),
        libraries=("msgspec", "numpy"),
        disk=True,
    ),
    "api": Layer(
        holds="the Python API by subject: thin, loads the core when called",
        ours=_CORE,
        libraries=("pandas",),
    ),
    "deliverylab": Layer(holds="the package's name for the API", ours=("api",)),
    "shell": Layer(
        holds="session, commands, actions, settings, theme, messages, jobs",
        ours=_CORE,
        libraries=("PySide6", "numpy"),
        disk=True,
    ),
    "shell.widgets": Layer(
        holds="parts that several panes use",
        ours=(*_DRAWN, "shell"),
        libraries=("PySide6", "numpy", "pyqtgraph"),
    ),
    "shell.panes": Layer(
        holds="what is seen of a delivery; asks the session by intents",
        ours=(*_DRAWN, "shell", "shell.widgets"),
        libraries=("PySide6", "numpy", "pyqtgraph"),
    ),
    "shell.dialogs": Layer(
        holds="questions with an answer",
        ours=(*_DRAWN, "shell", "shell.widgets"),
        libraries=("PySide6", "numpy"),
    ),
    "shell.window": Layer(
        holds="puts panes, dialogs and menus together",
        ours=(*_DRAWN, "shell", "shell.widgets", "shell.panes", "shell.dialogs"),
        libraries=("PySide6",),
    ),
    "shell.app": Layer(
        holds="starts Qt, shows the window",
        ours=("core.errors", "core.store", "shell", "shell.window"),
        libraries=("PySide6",),
    ),
    "cli": Layer(
        holds="reads arguments, calls the core, prints, exit code",
        ours=("deliverylab", *_CORE, "shell.app"),
        libraries=("rich",),
        disk=True,
    ),
    "__main__": Layer(holds="python -m deliverylab", ours=("cli",)),
}

LINES_CORE, LINES_ELSEWHERE, LINES_FUNCTION = 300, 400, 60
FAMILIES = ("shell.panes", "shell.widgets", "shell.dialogs")
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "LICENSE",
    "pyproject.toml",
    "deliverylab",
    "tests",
    "examples",
    "icons",
}
VAGUE_NAMES = ("util", "utils", "misc", "helper", "helpers", "common", "manager", "managers")
NETWORK = ("socket", "ssl", "http", "urllib.request", "ftplib", "smtplib", "PySide6.QtNetwork")
DISK_CALLS = {
    "open",
    "read_bytes",
    "read_text",
    "write_bytes",
    "write_text",
    "mkdir",
    "unlink",
    "rmdir",
    "iterdir",
    "rglob",
    "tofile",
    "savez",
}


@dataclass(frozen=True)
class Import:
    """One import statement's target; `deferred` when it stands inside a function."""

    importer: str
    target: str
    line: int
    deferred: bool


# ------------------------------------------------------------------------- reading the source


def name_of(path: Path) -> str:
    """Return a file's module name below deliverylab ("core.errors"); the root is "deliverylab"."""
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    if parts[-1] == "__init__":
        parts = parts[:-1]
    return ".".join(parts) or "deliverylab"


def layer_of(module: str) -> str:
    """Return the layer with the longest name that the module is, or lies in."""
    fits = [key for key in MAY_IMPORT if module == key or module.startswith(key + ".")]
    return max(fits, key=len, default="deliverylab")


@cache
def sources() -> dict[str, Path]:
    """Return every source file by its module name."""
    return {name_of(path): path for path in sorted(PACKAGE.rglob("*.py"))}


@cache
def tree_of(module: str) -> ast.Module:
    """Return a module's syntax tree."""
    return ast.parse(sources()[module].read_text(encoding="utf-8"))


def _below_package(dotted: str) -> str | None:
    """Return the name below deliverylab, or None for what is not ours."""
    if dotted == "deliverylab":
        return dotted
    return dotted.removeprefix("deliverylab.") if dotted.startswith("deliverylab.") else None


def _names(node: ast.AST) -> list[str]:
    """Return the dotted names that a node imports; relative ones begin with a dot."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom):
        stem = "." * node.level + (node.module or "")
        return [f"{stem}.{alias.name}" for alias in node.names]
    if isinstance(node, ast.Call):
        called = node.func.attr if isinstance(node.func, ast.Attribute) else None
        called = node.func.id if isinstance(node.func, ast.Name) else called
        if called in {"import_module", "__import__"} and node.args:
            name = node.args[0]
            literal = isinstance(name, ast.Constant) and isinstance(name.value, str)
            return [name.value if literal else "<computed>"]
    return []


def _resolved(dotted: str) -> str:
    """Cut what is imported from a module off, so that a module remains; keep foreign names."""
    ours = _below_package(dotted)
    if ours is None:
        return dotted
    if ours != "deliverylab" and ours not in sources():
        ours = ours.rpartition(".")[0] or "deliverylab"
    return f"deliverylab.{ours}" if ours != "deliverylab" else ours


def imports_of(module: str) -> list[Import]:
    """Return all imports of a module, also those in functions and type-checking blocks."""
    found: list[Import] = []

    def visit(node: ast.AST, *, deferred: bool) -> None:
        found.extend(
            Import(module, _resolved(dotted), node.lineno, deferred)
            for dotted in _names(node)
            # the version is a constant that anyone may print; reading it loads nothing
            if dotted != "deliverylab.__version__"
        )
        inside = deferred or isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        for child in ast.iter_child_nodes(node):
            visit(child, deferred=inside)

    visit(tree_of(module), deferred=False)
    return found


def all_imports() -> list[Import]:
    return [found for module in sources() for found in imports_of(module)]


def _objection(found: Import) -> str | None:
    """Return why an import is not allowed, or None."""
    here = layer_of(found.importer)
    layer = MAY_IMPORT[here]
    if found.target.startswith("."):
        return "relative import"
    if found.target == "<computed>":
        # the API looks its own names up in a table of modules
        return None if here == "deliverylab" else "import of a computed name"
    ours = _below_package(found.target)
    if ours is not None:
        there = layer_of(ours)
        allowed = there == here or there in layer.ours or ours in layer.ours
        return None if allowed else f"{here} may not know {ours}"
    library = found.target.partition(".")[0]
    if library in sys.stdlib_module_names or library in layer.libraries:
        return None
    return f"{here} may not use {library}"


def _said(problems: list[str]) -> str:
    return "\n".join(["", *problems])


def _place(module: str, line: int) -> str:
    return f"{sources()[module].relative_to(ROOT)}:{line}"


# ---------------------------------------------------------------------------------- the drawing


def test_the_reader_sees_every_kind_of_import(monkeypatch):
    text = (
        "import os, numpy.linalg\n"
        "from deliverylab.core import errors\n"
        "from deliverylab.core.errors import ClipError\n"
        "from deliverylab import __version__\n"
        "from . import views\n"
        "from typing import TYPE_CHECKING\n"
        "if TYPE_CHECKING:\n    import av\n"
        "def f():\n    import cv2\n    importlib.import_module('scipy.signal')\n"
        "    __import__(name)\n"
    )
    monkeypatch.setattr(sys.modules[__name__], "tree_of", lambda _: ast.parse(text))
    seen = [(found.target, found.deferred) for found in imports_of("cli")]
    assert seen == [
        ("os", False),
        ("numpy.linalg", False),
        ("deliverylab.core.errors", False),
        ("deliverylab.core.errors", False),
        ("..views", False),
        ("typing.TYPE_CHECKING", False),
        ("av", False),
        ("cv2", True),
        ("scipy.signal", True),
        ("<computed>", True),
    ]


@pytest.mark.parametrize(
    ("importer", "target", "objects"),
    [
        ("core.metrics.spec", "deliverylab.core.model.track", False),
        ("core.model.track", "deliverylab.core.metrics.spec", True),
        ("core.numerics.angles", "scipy.signal", False),
        ("core.numerics.angles", "pandas", True),
        ("core.video.index", "PySide6.QtCore", True),
        ("core.video.index", "..errors", True),
        ("shell.panes.readings", "deliverylab.core.model.delivery", False),
        ("shell.panes.readings", "deliverylab.core.model.project", True),
        ("shell.session", "deliverylab.core.numerics.angles", True),
        ("shell.session", "deliverylab.shell.window", True),
        ("shell.session", "<computed>", True),
        ("deliverylab", "<computed>", False),
        ("core.strange", "deliverylab.core.errors", True),
    ],
)
def test_the_table_is_read_as_it_is_meant(importer, target, objects):
    assert (_objection(Import(importer, target, 1, deferred=False)) is not None) == objects


def test_no_layer_knows_one_that_stands_below_it():
    above: set[str] = set()
    for key, layer in MAY_IMPORT.items():
        unknown = {name for name in layer.ours if layer_of(name) not in above}
        assert not unknown, f"{key} names {sorted(unknown)}, which do not stand above it"
        above.add(key)


def test_the_table_names_only_what_exists():
    assert [key for key in MAY_IMPORT if key not in sources()] == []


def test_every_module_of_the_core_lies_in_a_layer():
    homeless = [
        module
        for module in sources()
        if layer_of(module) in {"core", "deliverylab"} and module not in {"core", "deliverylab"}
    ]
    assert homeless == [], "give it a row in MAY_IMPORT"


def test_imports_follow_the_table():
    problems = [
        f"{_place(found.importer, found.line)}: {objection}"
        for found in all_imports()
        if (objection := _objection(found))
    ]
    assert not problems, _said(problems)


def test_members_of_a_family_do_not_know_each_other():
    problems = [
        f"{_place(found.importer, found.line)}: {found.importer} knows {ours}"
        for found in all_imports()
        for family in FAMILIES
        if (ours := _below_package(found.target)) is not None
        and found.importer.startswith(family + ".")
        and (ours == family or ours.startswith(family + "."))
    ]
    assert not problems, _said(problems)


def test_the_command_line_loads_the_window_only_where_one_opens():
    problems = [
        _place(found.importer, found.line)
        for found in all_imports()
        if layer_of(found.importer) == "cli"
        and found.target.startswith("deliverylab.shell")
        and not found.deferred
    ]
    assert not problems, _said(problems)


def test_nothing_speaks_to_a_network():
    problems = [
        f"{_place(found.importer, found.line)}: {found.target}"
        for found in all_imports()
        for name in NETWORK
        if found.target == name or found.target.startswith(name + ".")
    ]
    assert not problems, _said(problems)


def test_only_the_layers_made_for_it_touch_the_disk():
    problems = []
    for module in sources():
        if MAY_IMPORT[layer_of(module)].disk:
            continue
        for node in ast.walk(tree_of(module)):
            if isinstance(node, ast.Call):
                method = node.func.attr if isinstance(node.func, ast.Attribute) else None
                function = node.func.id if isinstance(node.func, ast.Name) else None
                if function == "open" or method in DISK_CALLS - {"open"}:
                    problems.append(f"{_place(module, node.lineno)}: {function or method}")
    assert not problems, _said(problems)


# --------------------------------------------------------------------------------- names, sizes


@pytest.mark.parametrize("module", [name for name in sources() if name.startswith("core.")])
def test_every_module_of_the_core_has_its_test_file(module):
    path = sources()[module]
    if path.name == "__init__.py":
        return
    mirrored = ROOT / "tests" / path.relative_to(PACKAGE).with_name(f"test_{path.name}")
    assert mirrored.is_file(), f"{mirrored.relative_to(ROOT)} is missing"


def _top_level_names() -> set[str]:
    """Return what lies at the top and is not ignored by git."""
    if (ROOT / ".git").exists():
        command = ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"]
        listed = subprocess.run(command, cwd=ROOT, capture_output=True, check=True, text=True)
        return {Path(name).parts[0] for name in listed.stdout.split("\0") if name}
    return {path.name for path in ROOT.iterdir()}


def test_the_top_level_holds_nothing_unexpected():
    names = {name for name in _top_level_names() if not name.startswith(".")}
    assert names - TOP_LEVEL - {"PKG-INFO"} == set()  # PKG-INFO: in a source archive


def test_no_file_has_a_name_that_says_nothing():
    vague = [module for module in sources() if set(module.split(".")) & set(VAGUE_NAMES)]
    assert vague == []


def test_files_stay_below_the_ceiling():
    problems = []
    for module, path in sources().items():
        n_lines = len(path.read_text(encoding="utf-8").splitlines())
        ceiling = LINES_CORE if module.startswith("core.") else LINES_ELSEWHERE
        if n_lines > ceiling:
            problems.append(f"{path.relative_to(ROOT)}: {n_lines} lines, {ceiling} allowed")
    assert not problems, _said(problems)


def _docstring_lines(function):
    """Count the lines of a docstring: explaining a function does not make it longer."""
    first = function.body[0]
    is_docstring = isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant)
    return first.end_lineno - first.lineno + 1 if is_docstring else 0


def test_functions_stay_below_the_ceiling():
    problems = []
    for module in sources():
        for node in ast.walk(tree_of(module)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                n_lines = node.end_lineno - node.lineno + 1 - _docstring_lines(node)
                if n_lines > LINES_FUNCTION:
                    problems.append(f"{_place(module, node.lineno)}: {node.name}, {n_lines} lines")
    assert not problems, _said(problems)


# ------------------------------------------------------------------------------ the run-time twin

_IMPORT_ALL = """
import importlib, sys

class NoWindow:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {"PySide6", "shiboken6", "pyqtgraph"}:
            raise ImportError(f"{name} is refused here")
        return None

sys.meta_path.insert(0, NoWindow())
import deliverylab
early = sorted({"numpy", "scipy", "cv2", "av", "pandas"} & set(sys.modules))
assert not early, f"import deliverylab alone loads {early}"
for name in sys.argv[1:]:
    importlib.import_module(name)
print(len(sys.argv) - 1, "modules")
"""


def test_the_core_loads_where_qt_does_not():
    modules = [f"deliverylab.{name}" for name in sources() if name.startswith("core")]
    assert modules
    run = subprocess.run(
        [sys.executable, "-W", "error", "-c", _IMPORT_ALL, *modules],
        cwd=ROOT,
        capture_output=True,
        check=False,
        text=True,
    )
    assert run.returncode == 0, run.stderr
    assert run.stdout.split() == [str(len(modules)), "modules"]


# ------------------------------------------------------------------------- the table in the guide


def import_table_markdown() -> str:
    """Return the table as DEVELOPERS.md shows it."""
    groups = (("any of the core", _CORE), ("what is drawn", _DRAWN), ("values", _VALUES))
    lines = [
        "| layer | holds | may know | libraries | disk |",
        "|---|---|---|---|---|",
    ]
    for key, layer in MAY_IMPORT.items():
        known = list(layer.ours)
        for title, group in groups:
            if set(group) <= set(known):
                known = [f"*{title}*", *(name for name in known if name not in group)]
                break
        cells = (
            f"`{key}`",
            layer.holds,
            ", ".join(name if "*" in name else f"`{name}`" for name in known) or "–",
            ", ".join(layer.libraries) or "–",
            "yes" if layer.disk else "",
        )
        lines.append("| " + " | ".join(cells) + " |")
    lines.append("")
    for title, group in reversed(groups):
        names = ", ".join(f"`{name}`" for name in group)
        lines.append(f"*{title.capitalize()}*: {names}.")
        lines.append("")
    return "\n".join(lines[:-1])


def _guide_parts() -> tuple[str, str, str]:
    """Return the guide before, between and after the table's markers."""
    before, start, rest = DEVELOPERS.read_text(encoding="utf-8").partition(TABLE_START)
    inside, end, after = rest.partition(TABLE_END)
    assert start, f"{TABLE_START} is missing"
    assert end, f"{TABLE_END} is missing"
    return before, inside, after


def test_the_guide_shows_the_table():
    _, inside, _ = _guide_parts()
    assert inside.strip() == import_table_markdown(), "run python tests/test_architecture.py"


def write_table() -> None:
    """Write the table between the markers of DEVELOPERS.md."""
    before, _, after = _guide_parts()
    text = f"{before}{TABLE_START}\n{import_table_markdown()}\n{TABLE_END}{after}"
    DEVELOPERS.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write_table()
