from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from deliverylab.core.store.layout import laid_out

_plain = (
    st.none()
    | st.booleans()
    | st.integers(-(2**53), 2**53)
    | st.text(st.characters(exclude_categories=["Cs"]))
    | st.floats(allow_nan=False, allow_infinity=False)
)
_documents = st.recursive(
    _plain,
    lambda inner: (
        st.lists(inner, max_size=30)
        | st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), inner, max_size=5)
    ),
    max_leaves=40,
)


@given(document=_documents)
def test_the_text_holds_the_same_document(document):
    assert json.loads(laid_out(document)) == document


def test_rows_and_small_tables_stay_on_one_line():
    document = {
        "marks": {"release": {"time_s": 1.25, "u_s": None}},
        "track": [[1, 2.5, 3.5], [2, 2.75, 3.25]],
        "none": [],
        "empty": {},
    }
    assert laid_out(document).splitlines() == [
        "{",
        '  "marks": {',
        '    "release": { "time_s": 1.25, "u_s": null }',
        "  },",
        '  "track": [',
        "    [1, 2.5, 3.5],",
        "    [2, 2.75, 3.25]",
        "  ],",
        '  "none": [],',
        '  "empty": {}',
        "}",
    ]


def test_long_rows_are_wrapped():
    lines = laid_out({"stamps_s": [number / 240 for number in range(200)]}).splitlines()
    assert len(lines) > 20
    assert max(map(len, lines)) <= 100


def test_what_json_lacks_becomes_null():
    assert json.loads(laid_out([float("nan"), float("inf")])) == [None, None]
