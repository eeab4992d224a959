from __future__ import annotations

from deliverylab.core.report.scripts import cleaned, visual


def test_white_space_and_control_characters_are_cleaned():
    assert cleaned("  Noor\tV.\n\x00\u200b ") == "Noor V."
    assert cleaned("14\u00a0May") == "14\u00a0May"


def test_letters_with_loose_accents_are_composed():
    assert cleaned("Dvor\u030cák") == "Dvořák"


def test_text_from_left_to_right_stays_as_it_is():
    assert visual("Noor V., 14 May") == "Noor V., 14 May"
    assert visual("") == ""


def test_hebrew_is_turned_round():
    assert visual("אבג") == "גבא"
    assert visual("אב גד") == "דג בא"


def test_a_latin_line_keeps_its_order_around_hebrew():
    assert visual("Mr אבג Cohen") == "Mr גבא Cohen"


def test_a_hebrew_line_runs_from_the_right_but_numbers_do_not():
    assert visual("אבג 25") == "25 גבא"


def test_arabic_letters_are_joined():
    # beh between two others is medial, first is initial, last is final (Unicode chart FE70-FEFF)
    beh = {"isolated": "\ufe8f", "final": "\ufe90", "initial": "\ufe91", "medial": "\ufe92"}
    assert visual("\u0628") == beh["isolated"]
    assert visual("\u0628\u0628\u0628") == beh["final"] + beh["medial"] + beh["initial"]


def test_arabic_letters_that_do_not_reach_forward_break_the_word():
    # alef joins only to the letter before it, so that a beh after it stands alone
    assert visual("\u0627\u0628") == "\ufe8f\ufe8d"
