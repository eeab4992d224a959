"""What Python code is offered: documented, typed, cheap to import; its examples run."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
import re
import subprocess
import sys

import pandas as pd
import pytest

import deliverylab as dl
from deliverylab import api

PUBLIC = [name for name in dl.__all__ if name != "__version__"]
MODULES = [f"deliverylab.api.{module.name}" for module in pkgutil.iter_modules(api.__path__)]
UNIT_OR_SHAPE = re.compile(
    r"\bunits?\b|\bshape\b|\bpx\b|seconds|metres|\bSI\b|\bm\b|degrees|frames?\b|percent",
    re.IGNORECASE,
)


@pytest.mark.parametrize("name", PUBLIC)
def test_every_function_is_documented_and_typed(name):
    function = getattr(dl, name)
    text = inspect.getdoc(function) or ""
    first = text.splitlines()[0] if text else ""
    assert first.endswith("."), name
    signature = inspect.signature(function)
    assert signature.return_annotation is not inspect.Signature.empty
    for parameter in signature.parameters.values():
        assert parameter.annotation is not inspect.Parameter.empty, parameter.name
    if "DataFrame" in str(signature.return_annotation):
        assert UNIT_OR_SHAPE.search(text), f"{name} does not say units"
        assert "Returns" in text


def test_all_names_are_in_order_and_there():
    assert dl.__all__ == sorted(dl.__all__)
    assert all(hasattr(dl, name) for name in dl.__all__)


@pytest.mark.parametrize("module", MODULES)
def test_the_examples_run(module):
    found = doctest.testmod(importlib.import_module(module))
    assert found.failed == 0


def test_there_are_examples():
    finder = doctest.DocTestFinder()
    n = sum(
        len(test.examples)
        for module in MODULES
        for test in finder.find(importlib.import_module(module))
    )
    assert n >= 20


def test_importing_costs_nothing():
    code = (
        "import sys, deliverylab; "
        "print([n for n in ('numpy', 'pandas', 'av', 'cv2', 'msgspec') if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize("name", ["results", "tracks", "events", "budgets"])
def test_tables_carry_units(name):
    project = dl.example_project()
    frame = getattr(dl, name)(project.record.deliveries[:1])
    assert isinstance(frame, pd.DataFrame)
    assert len(frame) > 10
    assert set(frame.attrs["units"].values()) <= {
        "px", "s", "1", "m", "deg", "%", "% height", "m/s", "deg/s",
    }  # fmt: skip
    assert "uncertaint" in frame.attrs["uncertainty"]
