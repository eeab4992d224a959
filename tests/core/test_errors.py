from __future__ import annotations

import inspect
import pickle

import pytest

from deliverylab.core import errors
from deliverylab.core.errors import EXIT_CODES, ClipError, DeliveryLabError, NewerVersionError


def test_each_kind_has_an_exit_code_of_its_own():
    codes = [kind.exit_code for kind in EXIT_CODES]
    assert len(codes) == len(set(codes))


def test_exit_codes_are_failures_that_a_shell_can_tell_from_its_own():
    # 126 and above are taken by POSIX shells: not executable, not found, ended by a signal
    assert all(0 < kind.exit_code < 126 for kind in EXIT_CODES)


def test_the_list_of_kinds_is_complete():
    defined = {
        kind
        for _, kind in inspect.getmembers(errors, inspect.isclass)
        if issubclass(kind, DeliveryLabError)
    }
    assert set(EXIT_CODES) == defined


@pytest.mark.parametrize("kind", EXIT_CODES)
def test_every_kind_says_for_whom_it_is(kind):
    assert kind.__doc__
    assert kind.__doc__.strip().splitlines()[0].endswith(".")


@pytest.mark.parametrize(
    ("where", "remedy", "line"),
    [
        ("", "", "no frame decodes"),
        ("a.mp4", "", "no frame decodes (a.mp4)"),
        ("", "copy it again", "no frame decodes: copy it again"),
        ("a.mp4", "copy it again", "no frame decodes (a.mp4): copy it again"),
    ],
)
def test_the_line_holds_the_parts_that_are_there(where, remedy, line):
    error = ClipError("no frame decodes", where=where, remedy=remedy)
    assert str(error) == line
    assert (error.what, error.where, error.remedy) == ("no frame decodes", where, remedy)


def test_a_special_kind_is_caught_as_the_general_one():
    with pytest.raises(errors.ProjectFileError) as caught:
        raise NewerVersionError("written by release 9", where="a.delivery")
    assert caught.value.exit_code == NewerVersionError.exit_code != 4


def test_where_and_remedy_have_to_be_named():
    with pytest.raises(TypeError):
        ClipError("no frame decodes", "a.mp4")


@pytest.mark.parametrize("kind", EXIT_CODES)
def test_an_error_crosses_a_process_border_whole(kind):
    # clips are decoded in another process, which sends its errors back pickled
    error = kind("no frame decodes", where="a.mp4", remedy="copy it again")
    back = pickle.loads(pickle.dumps(error))
    assert type(back) is kind
    assert str(back) == str(error)
