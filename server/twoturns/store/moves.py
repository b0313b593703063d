"""
What is noted at a ledger on a server of where it, or its photos, went. Pure.

Each machine that serves a workshop may have a folder of its own, and not all of them hear of a
move. So it is noted at the old place, in the transaction that decides, and read in each that
writes: what comes in there from then on is refused, and phones keep it. A ledger that is a file
lies in the only folder that there is of it.
"""

from typing import Final

from twoturns.store.errors import WorkshopMoved

_GONE_TO: Final = "ledger-gone-to:"
_NOT_AT: Final = "photos-left:"


def gone_to(place: str) -> str:
    """Return the note that a ledger is at another place by now."""
    return _GONE_TO + place


def photos_left(place: str) -> str:
    """Return the note that the photos are at a place no longer."""
    return _NOT_AT + place


def place_in(notes: set[str]) -> str | None:
    """Return where the ledger went, if it did."""
    said = (one.removeprefix(_GONE_TO) for one in notes if one.startswith(_GONE_TO))
    return next(said, None)


def require_here(notes: set[str], photos: str) -> None:
    """
    See that nothing went elsewhere from where a folder says that it is.

    Raises:
        WorkshopMoved: If something did.
    """
    place = place_in(notes)
    if place is not None:
        raise WorkshopMoved(place)
    if photos_left(photos) in notes:
        raise WorkshopMoved(photos_left(photos))
