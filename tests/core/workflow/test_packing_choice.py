from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.delivery import ClipReference
from deliverylab.core.workflow.packing_choice import PackOptions, chosen_record, clip_names
from tests.core.workflow.packed import example

replace = msgspec.structs.replace


def test_only_what_is_chosen_and_what_it_leans_on():
    record = example()
    own, model = record.deliveries
    later = replace(own, name="Aldery 2", cameras_from="Aldery 1")
    record = replace(record, deliveries=(own, model, later), own_set="Aldery 1 + Aldery 2")
    chosen = chosen_record(record, ("Aldery 2",))
    assert [d.name for d in chosen.deliveries] == ["Aldery 1", "Aldery 2"]
    assert chosen.pair is None
    assert chosen.own_set == ""
    assert chosen_record(record, None) == record
    with pytest.raises(NotFoundError):
        chosen_record(record, ("Nobody",))
    with pytest.raises(InputValueError):
        chosen_record(record, ())


def with_clips(record):
    """Return the record with a reference for every camera, and where these would be."""
    found, deliveries = {}, []
    for delivery in record.deliveries:
        cameras = []
        for camera in delivery.cameras:
            path = f"{delivery.name[0]}/same.mov"
            clip = ClipReference(path=path, size_bytes=1, head_sha256="", tail_sha256="")
            cameras.append(replace(camera, clip=clip))
            found[delivery.name, camera.name] = Path(path)
        deliveries.append(replace(delivery, cameras=tuple(cameras)))
    return replace(record, deliveries=tuple(deliveries)), found


def test_no_two_clips_have_one_name():
    record, found = with_clips(example())
    names = clip_names(record, found, PackOptions())
    assert len(set(names.values())) == len(names) == 4
    assert all(name.startswith("same") and name.endswith(".mp4") for name in names.values())
    plain = clip_names(record, found, PackOptions(leaves_names_out=True))
    assert sorted(plain.values()) == [f"clip-0{n}.mp4" for n in (1, 2, 3, 4)]


def test_a_number_put_behind_a_name_may_be_taken_too():
    record, found = with_clips(example())
    called = dict(zip(found, ("same", "same-03", "same", "Same"), strict=True))
    names = clip_names(record, {k: Path(f"{c}.mov") for k, c in called.items()}, PackOptions())
    assert len({name.casefold() for name in names.values()}) == 4


def test_a_clip_is_called_so_that_any_system_takes_it():
    record, found = with_clips(example())
    odd = dict.fromkeys(found, Path('x/a:b?*"<c>|. .mov'))
    assert set(clip_names(record, odd, PackOptions()).values()) >= {"abc.mp4"}
