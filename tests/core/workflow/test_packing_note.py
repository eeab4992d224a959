from __future__ import annotations

from deliverylab.core.workflow.packing_choice import PackOptions
from deliverylab.core.workflow.packing_names import Aliases
from deliverylab.core.workflow.packing_note import OTHERS, PackedClip, pack_note

CLIP = PackedClip(
    delivery="Ana 1", camera="side", name="ana.mp4", n_whole=400, first_frame=20, last_frame=119,
    n_located=90, n_coarse=10, n_lost=2,
)  # fmt: skip


def test_faces_are_promised_no_further_than_done():
    text = pack_note((CLIP,), PackOptions(blurs_faces=True))
    assert "the whole picture was blurred: 10 of 100 pictures" in text
    assert OTHERS in text
    assert "head blurred in 90, picture blurred in 10" in text
    assert "2 damaged" in text
    all_located = PackedClip(
        delivery="a", camera="b", name="c.mp4", n_whole=9, last_frame=8, n_located=9
    )
    text = pack_note((all_located,), PackOptions(blurs_faces=True))
    assert "the whole picture was blurred" not in text
    assert OTHERS in text


def test_names_and_sound_are_told_apart():
    assert "Names are kept" in pack_note((CLIP,), PackOptions())
    assert "Sound was left out" in pack_note((CLIP,), PackOptions())
    text = pack_note((CLIP,), PackOptions(leaves_names_out=True, has_sound=True))
    assert "aliases stand for" in text
    assert "listen whether somebody is named" in text
    assert "A person may still be known" in text


def test_a_clip_goes_by_its_alias():
    aliases = Aliases({}, {"Ana 1": "Athlete A 1"}, {("Ana 1", "side"): "open-side"}, {})
    renamed = CLIP.renamed(aliases)
    assert (renamed.delivery, renamed.camera) == ("Athlete A 1", "open-side")
    assert renamed.n_frames == 100
