from __future__ import annotations

import re

import pytest

from deliverylab.core.compare import links_below
from deliverylab.core.model.library import COMMON_PRACTICE


def test_every_source_is_in_the_references():
    tables = [value for value in vars(links_below).values() if isinstance(value, tuple)]
    sources = {row.source for table in tables for row in table} - {COMMON_PRACTICE}
    assert sources
    for source in sources:
        for one in source.split("; "):
            author, _, year = one.partition(" et al. ")
            assert re.search(rf"\] {author} .*\({year}\)", links_below.__doc__)


def test_rows_cannot_be_changed():
    table = next(value for value in vars(links_below).values() if isinstance(value, tuple))
    with pytest.raises(AttributeError):
        table[0].why = "other"
