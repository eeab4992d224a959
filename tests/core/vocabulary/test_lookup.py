"""Entries by key, and what is said where there is none."""

from __future__ import annotations

import pytest

from deliverylab.core.errors import NotFoundError
from deliverylab.core.vocabulary.lookup import entry_of


def test_an_entry_is_found_by_its_key():
    assert entry_of({"rear": 1, "front": 2}, "front", "view") == 2


def test_a_wrong_key_is_answered_with_the_right_ones():
    with pytest.raises(NotFoundError) as caught:
        entry_of({"rear": 1, "front": 2}, "above", "view")
    assert str(caught.value) == "unknown view (above): use one of rear, front"
