"""What the procedures of jobs call their parts and proofs, each read once."""

from typing import Any

from twoturns.procedure.compile.bundle import MOST_BYTES
from twoturns.store.blob_texts import bundle_of
from twoturns.store.store import Store


class Labels:
    """
    Speaks of steps, proofs and parts of a published bundle; by their names where that is not here.
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        self._read: dict[str, dict[str, Any]] = {}

    def part(self, bundle: str | None, part: str) -> str:
        """Return what the kit calls a part."""
        kit = self._bundle(bundle).get("kit", ())
        return next((str(one["label"]) for one in kit if one["part"] == part), part)

    def proof(self, bundle: str | None, step: str, name: str) -> str:
        """Return a step's number and title, and what it calls a proof."""
        steps = self._bundle(bundle).get("steps", ())
        known = next((one for one in steps if one["id"] == step), None)
        if known is None:
            return f"{step}: {name}"
        label = next((one["label"] for one in known["proof"] if one["name"] == name), name)
        return f"{known['number']} {known['title']}: {label}".strip()

    def _bundle(self, bundle: str | None) -> Any:  # noqa: ANN401 - a bundle, or nothing
        if bundle is None:
            return {}
        if bundle not in self._read:
            # By one that a phone made up the workshop's page would say what that phone wants.
            is_ours = self._store.views.is_published(bundle)
            said = bundle_of(self._store.blobs.read(bundle, MOST_BYTES) if is_ours else None)
            self._read[bundle] = dict(said) if said is not None and "steps" in said else {}
        return self._read[bundle]
