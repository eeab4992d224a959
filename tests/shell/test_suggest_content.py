from __future__ import annotations

from deliverylab.shell import suggest_content
from deliverylab.shell.scrub_content import scrub_scene
from tests.shell.suggested import NOT_SEEN, suggest_on


def test_the_offer_says_how_many_and_by_which_key(pair):
    assert suggest_content.offer_text(pair, "athlete") == ""
    suggest_on(pair, foot_plant=0.62)
    assert (
        suggest_content.offer_text(pair, "athlete") == "Suggested: foot plant, ± 8 ms. A accepts it"
    )
    suggest_on(pair, foot_plant=0.62, hand_break=0.3)
    text = suggest_content.offer_text(pair, "athlete")
    assert text == "2 events are suggested: A accepts all, Shift+A the nearest"


def test_the_offer_says_what_would_not_fit(pair):
    suggest_on(pair, full_layback=0.77, hand_break=0.3)
    odd = "release is marked before full layback"
    assert suggest_content.offer_text(pair, "athlete").endswith(f"They would not fit: {odd}")
    assert suggest_content.list_text(pair, "athlete").splitlines() == [
        "hand break: 0.300 s ± 8 ms",
        "full layback: 0.770 s ± 8 ms",
        f"then {odd}",
    ]


def test_an_events_note_tells_its_place_its_distance_or_what_is_missing(pair):
    suggest_on(pair, hand_break=0.3, release=0.72, foot_contact=0.601)
    notes = {
        event: suggest_content.event_note(pair, "athlete", event)
        for event in ("hand_break", "release", "foot_contact", "finish")
    }
    assert notes == {
        "hand_break": "Suggested at 0.300 s ± 8 ms: as a test says",
        "release": "The tracks suggest it 30 ms earlier",
        "foot_contact": "",
        "finish": f"Not suggested: {NOT_SEEN}",
    }


def test_one_reason_is_given_once_for_all_its_events(pair):
    assert suggest_content.missing_text(pair, "athlete") == ""
    suggest_on(pair, hand_break=0.3)
    text = suggest_content.missing_text(pair, "athlete")
    assert text == f"foot plant, full layback, finish: {NOT_SEEN}"


def test_ghosts_lie_on_the_bars_axis_with_their_margins(pair):
    suggest_on(pair, hand_break=0.3, release=0.72)
    row = scrub_scene(pair, "").row("athlete")
    ghost = row.suggested["hand_break"]
    assert (ghost.low, ghost.place, ghost.high) == (0.3 - 0.008, 0.3, 0.3 + 0.008)
    assert ghost.text.startswith("Suggested: hand break, ± 8 ms\n0.300 s")
    assert row.doubted["release"].place == 0.72
    assert list(row.suggested) == ["hand_break"]


def test_a_partners_ghosts_are_laid_on_the_athletes_axis_by_phase(pair):
    # 110 % of the model: 0.6 to 0.76 s there, 0.6 to 0.75 s here
    suggest_on(pair, "model", foot_plant=0.616)
    ghost = scrub_scene(pair, "").row("model").suggested["foot_plant"]
    assert abs(ghost.place - 0.615) < 1e-9


def test_what_was_accepted_is_said_in_full(pair):
    suggest_on(pair, hand_break=0.3, foot_plant=0.62)
    both = pair.open_suggestions("athlete")
    assert suggest_content.accepted_text(both[:1]) == (
        "Hand break is marked at 0.300 s ± 8 ms, where the tracks suggest it."
    )
    assert "2 events are marked" in suggest_content.accepted_text(both)
    assert suggest_content.departure_text(0.0304) == "30 ms later"
    assert suggest_content.margin_text(0.0001) == "± 1 ms"
