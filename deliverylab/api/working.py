"""What an athlete works on, and the instructor's own library."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from deliverylab.core.model.library import Library
    from deliverylab.core.model.plan import Plan
    from deliverylab.core.model.project import Project


def suggest_plan(
    project: Project,
    a: str,
    b: str,
    *,
    own: Library | None = None,
    today: dt.date | None = None,
) -> Plan:
    """Suggest up to three things to work on after a delivery; nothing is stored.

    Parameters
    ----------
    project : Project
        Which both sides belong to.
    a, b : str
        The athlete's delivery, and what it is compared with (as on the command line).
    own : Library, optional
        The instructor's, see `library`; its links, cues and drills come before the program's.
    today : datetime.date, optional
        The next look is three weeks later.

    Returns
    -------
    Plan
        Each priority with the measured gap, a target, a cue and a drill; none where nothing clear can
        be worked on.

    Raises
    ------
    NotFoundError
        No such delivery.
    """
    from deliverylab.core.compare.chain import chain_of
    from deliverylab.core.compare.difference import compare_parties
    from deliverylab.core.compare.links import links_with
    from deliverylab.core.compare.parties import party_of
    from deliverylab.core.model.library import Library
    from deliverylab.core.workflow.planning import local_today, suggested_plan

    owner, record = project.delivery(a), project.record
    found = compare_parties(party_of(record, a), party_of(record, b))
    used = own or Library()
    chain = chain_of(found, links_with(used))
    return suggested_plan(owner, chain, used, today=today or local_today())


def library(project: str | Path | None = None) -> Library:
    """Return the instructor's own links, cues and drills that hold for a project file.

    Parameters
    ----------
    project : str or pathlib.Path, optional
        A ``library.json`` beside it holds; without one, or without a project, the user's own.

    Raises
    ------
    ProjectFileError
        The file is damaged; it is left as it is.
    """
    from deliverylab.core.store.library import load_library

    return load_library(project)
