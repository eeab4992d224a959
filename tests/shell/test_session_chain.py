from __future__ import annotations

import pytest

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.errors import InputValueError, ProjectFileError
from deliverylab.core.model.library import Library, Link, LinkEnd
from deliverylab.core.store.library import library_file, load_library, save_library
from tests.shell.compared import compared

__all__ = ["compared"]


def test_the_chain_is_that_of_the_differences_and_kept_while_nothing_changes(compared):
    chain = compared.chain()
    assert chain == chain_of(compared.differences())
    assert chain.starts
    assert compared.chain() is chain


def test_a_link_that_is_left_out_is_kept_so_and_told_no_more(compared, qtbot):
    edge = compared.chain().edges[0]
    with qtbot.waitSignal(compared.results_updated):
        compared.leave_link_out(edge.link)
    assert compared.library().without_links == (edge.link.key,)
    assert load_library(compared.path) == compared.library()
    assert edge.link not in {each.link for each in compared.chain().edges}
    compared.set_library(Library())
    assert edge in compared.chain().edges


def test_an_own_link_that_is_left_out_is_gone(compared):
    own = Link(
        cause=LinkEnd("stride_length", "", "less"),
        effect=LinkEnd("arm_slot", "release", "less"),
        why="my words",
        source="Kim",
    )
    compared.set_library(Library(links=(own,)))
    compared.leave_link_out(own)
    assert compared.library().links == ()


def test_a_library_that_cannot_be_is_refused_and_changes_nothing(compared):
    wrong = Link(
        cause=LinkEnd("hat_size", "", "less"),
        effect=LinkEnd("arm_slot", "release", "less"),
        why="no such thing",
    )
    with pytest.raises(InputValueError, match="hat_size"):
        compared.set_library(Library(links=(wrong,)))
    assert compared.library() == Library()


def test_what_is_written_elsewhere_is_read_anew(compared):
    assert compared.library() == Library()
    save_library(Library(owner="Kim"), library_file(compared.path))
    assert compared.library().owner == "Kim"
    library_file(compared.path).write_text("damaged")
    with pytest.raises(ProjectFileError):
        compared.library()
