"""What bodies name and blobs say: read, never written, and nothing is known of a workshop."""

import re
from collections.abc import Iterator
from contextlib import suppress
from typing import Final

from twoturns.ledger import private
from twoturns.ledger.errors import LedgerError
from twoturns.procedure import shape
from twoturns.procedure.compile.bundle import check_bundle, outline
from twoturns.procedure.errors import BundleError, NewerForm
from twoturns.trade.spelling import lot_key, tool_key


def named_blobs(body: object) -> Iterator[str]:
    """Yield every blob a body names: private values, a photo, a bundle."""
    if isinstance(body, dict):
        for name, value in body.items():
            if isinstance(value, str):
                if name in ("blob", "bundle"):
                    yield value
            elif isinstance(value, dict | list):
                yield from named_blobs(value)
    elif isinstance(body, list):
        for value in body:
            yield from named_blobs(value)


def private_value(data: bytes | None) -> str | None:
    """Return the text of a private value's blob, or None if these bytes are none."""
    said = _private(data)
    return None if said is None else said.value


def field_of(data: bytes | None) -> str | None:
    """Return which field a private value's blob is of, or None if these bytes are none."""
    said = _private(data)
    return None if said is None else said.field


def _private(data: bytes | None) -> private.PrivateValue | None:
    if data is None:
        return None
    try:
        return private.read(data)
    except LedgerError:
        return None


def bundle_of(data: bytes | None) -> shape.Bundle | shape.Outline | None:
    """Return what a bundle's bytes say, or None if they are not whole or no bundle."""
    if data is None:
        return None
    with suppress(BundleError):
        with suppress(NewerForm):
            return check_bundle(data)
        return outline(data)  # those who know its form may work by it
    return None


def wants_an_owner(said: shape.Bundle) -> bool:
    """Say whether a maker's word holds in place of a `stop`: no console lets work go by that."""
    return any(rule["kind"] == "stop" and "instead" in rule for rule in said["rules"])


# What is looked up stands in an index, and PostgreSQL's takes 2,704 bytes a row: a character may
# have four, and job, time and key come beside it.
MOST_SOUGHT: Final = 600


def sought(key: str, value: str) -> str:
    """
    Return a value as it is looked up: a VIN or plate without case, spaces and dashes. Of what no
    vehicle has, only the beginning.
    """
    as_compared = {"lot": lot_key, "tool": tool_key}.get(key, _as_on_a_plate)
    return as_compared(value)[:MOST_SOUGHT]


def _as_on_a_plate(value: str) -> str:
    return re.sub(r"[\W_]", "", value).upper()
