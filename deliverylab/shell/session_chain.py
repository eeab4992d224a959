"""What the differences start with and lead to, by the program's links and the instructor's own."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QObject

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.model.changes import replace
from deliverylab.core.model.library import Library, Link
from deliverylab.shell.session_parties import SessionParties

if TYPE_CHECKING:
    from deliverylab.core.compare.chain import Chain


class _Kept(NamedTuple):
    """A library as it was read, and the state of its file then."""

    file: Path
    written_ns: int
    library: Library


class SessionChain(SessionParties):
    """The chain of the comparison, and the library by which it is told."""

    def __init__(self, parent: QObject | None = None) -> None:
        self._kept_library: _Kept | None = None
        self._kept_chain: tuple[tuple[Difference, ...], Library, Chain] | None = None
        super().__init__(parent)

    def library(self) -> Library:
        """Return the instructor's own links, cues and drills; read anew where the file changed.

        Raises
        ------
        ProjectFileError
            Its file is damaged.
        """
        from deliverylab.core.store.library import library_file, load_library

        file = library_file(self.path)
        written_ns = file.stat().st_mtime_ns if file.is_file() else 0
        kept = self._kept_library
        if kept is None or kept[:2] != (file, written_ns):
            kept = self._kept_library = _Kept(file, written_ns, load_library(self.path))
        return kept.library

    def set_library(self, library: Library) -> None:
        """Keep a library, and tell chains by it from now on.

        Raises
        ------
        InputValueError
            A link of it fits nothing, or leads round in a circle; the library is then as it was.
        OutputError
            It cannot be written.
        """
        from deliverylab.core.compare.links import links_with
        from deliverylab.core.store.library import library_file, save_library

        links_with(library)
        save_library(library, library_file(self.path))
        self._kept_library = None
        self.results_updated.emit()

    def chain(self) -> Chain:
        """Return what the clear differences start with and lead to; the same while nothing changes.

        Raises
        ------
        DeliveryLabError
            The instructor's library is damaged, or a link of it fits nothing.
        """
        found, library = self.differences(), self.library()
        kept = self._kept_chain
        if kept is None or kept[0] is not found or kept[1] is not library:
            from deliverylab.core.compare.chain import chain_of
            from deliverylab.core.compare.links import links_with

            kept = self._kept_chain = (found, library, chain_of(found, links_with(library)))
        return kept[2]

    def leave_link_out(self, link: Link) -> None:
        """Tell chains without this link from now on: one of the program's, or an own one."""
        library = self.library()
        own = tuple(each for each in library.links if each.key != link.key)
        left_out = tuple(dict.fromkeys((*library.without_links, link.key)))
        self.set_library(replace(library, links=own, without_links=left_out))
