"""Handing in a draft that was checked: from the report of its check to what waits for an owner."""

from datetime import datetime
from typing import Any

from twoturns.procedure.compile.bundle import check_bundle
from twoturns.store.bundles import Ready, ready
from twoturns.store.errors import DraftRefused
from twoturns.store.offers import hand_in
from twoturns.store.store import Store
from twoturns.words import t
from twoturns.words.en.store import handing_in as words


def hand_in_checked(store: Store, name: str, version: str, now: datetime) -> tuple[str, bool]:
    """
    Hand in a version of a draft; return its bundle's hash, and False if that is published already.

    Raises:
        DraftRefused: `no-draft`; `draft-changed`; `not-proved`.
        BundleRefused: As publishing would.
        WorkshopFull: If the disk has no room.
    """
    kept = store.drafts.read(name)
    if kept.version != version:
        raise DraftRefused("draft-changed", t(words.CHANGED))
    report = store.draft_checks.told(name).report
    if report is None or report["version"] != version:
        raise DraftRefused("not-proved", t(words.NOT_CHECKED))
    if not store.draft_checks.is_by_house_words_of_now(name):
        raise DraftRefused("not-proved", t(words.HOUSE_CHANGED))
    if report["findings"]:
        raise DraftRefused("not-proved", t(words.HAS_FINDINGS, n=len(report["findings"])))
    checked = _checked(report, dict(kept.draft.pictures))
    return checked.sha256, hand_in(store, checked, now)


def _checked(report: dict[str, Any], pictures: dict[str, bytes]) -> Ready:
    canonical: bytes = report["bundle"].encode()
    bundle = check_bundle(canonical)
    assets = {asset["name"]: pictures[asset["name"]] for asset in bundle["assets"]}
    return ready(bundle, canonical, assets)
