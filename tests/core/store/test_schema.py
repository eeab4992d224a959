from __future__ import annotations

import msgspec
import pytest
from hypothesis import given

from deliverylab.core.model.track import ORIGINS, Position, Track
from deliverylab.core.store.schema import (
    FORMAT,
    VERSION,
    from_document,
    json_schema,
    to_document,
    track_from_rows,
    track_rows,
)
from tests.core.model.records import records, tracks


@given(record=records)
def test_a_record_survives_the_document(record):
    assert from_document(to_document(record)) == record


def test_the_document_begins_with_what_it_is():
    document = to_document(from_document({"format": FORMAT, "version": VERSION, "project": {}}))
    assert list(document) == ["format", "version", "written_by", "project"]
    assert (document["format"], document["version"]) == ("deliverylab-project", 1)


@given(track=tracks)
def test_rows_give_the_same_track(track):
    assert track_from_rows(track_rows(track)) == track


def test_rows_hold_only_what_differs_from_the_usual():
    track = Track.of(
        [
            (4, Position(1.5, 2.5)),
            (5, Position(1.0, 2.0, 3.0)),
            (6, Position(1.0, 2.0, None, "tracked")),
            (7, Position(1.0, 2.0, 0.5, "filled")),
        ]
    )
    assert track_rows(track) == [
        [4, 1.5, 2.5],
        [5, 1.0, 2.0, 3.0],
        [6, 1.0, 2.0, None, "tracked"],
        [7, 1.0, 2.0, 0.5, "filled"],
    ]


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        ({}, "list of rows"),
        ([1], "row 0"),
        ([[0, 1.0, 2.0], [1, 2.0]], "row 1"),
        ([[0.0, 1.0, 2.0]], "whole number"),
        ([[True, 1.0, 2.0]], "whole number"),
        ([[-1, 1.0, 2.0]], "whole number"),
        ([[2**70, 1.0, 2.0]], "whole number"),
        ([[0, "1", 2.0]], "numbers"),
        ([[0, None, 2.0]], "numbers"),
        ([[0, 10**400, 2.0]], "numbers"),
        ([[0, 1.0, 2.0, -1.0]], "negative"),
        ([[0, 1.0, 2.0, None, "guessed"]], "origin"),
        ([[0, 1.0, 2.0, None, []]], "origin"),
        ([[0, 1.0, 2.0, None, "placed", 1]], "expected"),
        ([[3, 1.0, 2.0], [3, 1.0, 2.0]], "frame 3 stands twice"),
    ],
)
def test_bad_rows_are_named(rows, message):
    with pytest.raises(ValueError, match=message):
        track_from_rows(rows)


def test_the_schema_describes_every_part_of_the_file():
    schema = json_schema()
    assert schema["$ref"] == "#/$defs/Envelope"
    kinds = schema["$defs"]
    expected = {"Envelope", "ProjectRecord", "Delivery", "Athlete", "Camera", "Timing"}
    assert expected | {"PlanarScale", "Mark", "ClipReference"} <= set(kinds)
    assert kinds["Envelope"]["properties"]["format"] == {"enum": ["deliverylab-project"]}
    assert kinds["Envelope"]["properties"]["version"] == {"enum": [1]}
    row = kinds["Camera"]["properties"]["tracks"]["additionalProperties"]["items"]
    assert row["prefixItems"][4] == {"enum": list(ORIGINS)}
    structs = [kind for kind in kinds.values() if kind.get("type") == "object"]
    assert all(kind["additionalProperties"] is False for kind in structs)
    assert msgspec.json.encode(schema)
