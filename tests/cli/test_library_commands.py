from __future__ import annotations

import json

import pytest

import deliverylab
from deliverylab.core.compare.links import LINKS
from deliverylab.core.model.library import Library


@pytest.fixture(autouse=True)
def own(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return tmp_path / "data" / "deliverylab" / "library.json"


def test_an_empty_library_says_so(run, own):
    status, out, _ = run("library", "show")
    assert status == 0
    assert out.startswith(f"library: {own}\n  0 cues of your own\n")
    assert not own.exists()


def test_everything_of_the_program_can_be_read(run):
    out = run("library", "show", "--all")[1]
    assert "Hip to the wall (does not load the arm)" in out
    assert "to a child: " in out
    assert f"{len(LINKS)} links\n" in out


def test_cues_and_drills_are_added_and_taken_out(run, own):
    assert run("library", "cue", "separation", "more", "Wait.", "--for-minors", "Wait!")[0] == 0
    status, out, _ = run(
        *("library", "drill", "Mine", "Do it. 2 × 5.", "--serves", "separation", "more"),
        *("--arm-load", "light", "--caution", "Slowly."),
    )
    assert (status, out) == (0, f"kept in {own}\n")
    library = deliverylab.library()
    assert (library.cues[0].event, library.cues[0].text_for_minors) == ("foot_contact", "Wait!")
    assert (library.drills[0].arm_load, library.drills[0].caution) == ("light", "Slowly.")
    out = run("library", "show")[1]
    assert "Hip-to-shoulder separation at foot contact, more: Wait." in out
    assert "Mine (loads the arm a little): Do it. 2 × 5." in out
    run("library", "without", "Mine")
    run("library", "without", "separation")
    assert deliverylab.library() == Library()
    assert "nothing of your own" in run("library", "without", "Mine")[2]


def test_links_are_added_changed_left_out_and_put_back(run):
    run("library", "owner", "Kim Doe")
    run("library", "link", "arm_slot", "less", "release_height", "more", "the hand is higher")
    (link,) = deliverylab.library().links
    assert (link.source, link.strength, link.is_mirrored) == ("Kim Doe", 0.6, True)
    ends = ("com_forward_speed/leg_lift", "stride_length")
    assert run("library", "leave-out", *ends)[0] == 0
    out = run("library", "show")[1]
    assert "Forward speed of the body at leg lift → Stride (left out)" in out
    assert "(own): the hand is higher [Kim Doe]" in " ".join(out.split())
    row = json.loads(run("library", "show", "--json", "-")[1])["library"]
    assert row["without_links"] == [["com_forward_speed", "leg_lift", "stride_length", ""]]
    run("library", "restore", *ends)
    assert deliverylab.library().without_links == ()


def test_it_is_handed_on_and_taken_in(run, tmp_path):
    run("library", "cue", "separation", "more", "Mine.")
    file = tmp_path / "club.json"
    assert run("library", "export", file)[1] == f"written: {file}\n"
    run("library", "without", "separation")
    run("library", "import", file)
    assert deliverylab.library().cues[0].text == "Mine."


def test_a_library_beside_a_project_holds_for_it(run, project, own):
    run("library", "export", project.parent / "library.json")
    run("library", "cue", "separation", "more", "Here.", "--project", project)
    assert deliverylab.library(project).cues[0].text == "Here."
    assert deliverylab.library() == Library()
    assert not own.exists()


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("cue", "lead_knee_flexion", "more", "Soft."), "is taken at several events"),
        (("cue", "nothing", "more", "Soft."), "unknown metric"),
        (("drill", "Mine", "Do it.", "--serves", "separation", "up"), "a way is more or less"),
        (("leave-out", "stride_length", "separation"), "no such link"),
        (("export", "club.txt"), "a .json file"),
        (("import", "missing.json"), "no such library"),
        (("link", "arm_slot", "less", "arm_slot", "more", "so"), "where it starts"),
    ],
)
def test_what_does_not_fit_is_said_and_nothing_is_kept(run, own, arguments, said):
    status, _, err = run("library", *arguments)
    assert status != 0
    assert said in err
    assert not own.exists()


def test_a_damaged_file_is_left_alone(run, own):
    own.parent.mkdir(parents=True)
    own.write_text("{")
    status, _, err = run("library", "cue", "separation", "more", "Wait.")
    assert status == 4
    assert "cannot be read" in err
    assert own.read_text() == "{"
