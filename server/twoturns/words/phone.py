"""
The phone's half of the sentences that both sides say: `python -m twoturns.words.phone`.

Writes `client/src/words/en/PLACE.ts` of each shared place, in the checkout this module stands in:
the twins `trade`, `instruments` and `ledger` refuse in the same words. A test fails when a file
there is not what this would write.
"""

import importlib
import re
from pathlib import Path
from types import ModuleType

SHARED = (
    "bag/bounds",
    "bag/completeness",
    "bag/disclosed",
    "bag/growth",
    "bag/many",
    "bag/parse",
    "bag/read",
    "bag/sheet",
    "bag/verify",
    "instruments/marks",
    "instruments/turn",
    "ledger/base64url",
    "ledger/bodies",
    "ledger/canonical",
    "ledger/checkpoint",
    "ledger/entry",
    "ledger/fields",
    "ledger/instants",
    "ledger/private",
    "ledger/record",
    "trade/belt_due",
    "trade/gs1",
    "trade/identity",
    "trade/interval",
    "trade/torque",
    "trade/triage",
    "work/flags",
    "work/state",
)
FOLDER = Path(__file__).resolve().parents[3] / "client" / "src" / "words" / "en"
_WIDTH = 110  # .biome.jsonc
_OPENING = """\
/**
 * What `{place}` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */
"""


def source(place: str) -> str:
    """Return the text of a shared place's module of the phone."""
    module = importlib.import_module(f"twoturns.words.en.{place.replace('/', '.')}")
    lines = [_line(f"export const {_camel(key)} =", says) for key, says in sentences(module)]
    return "\n".join([_OPENING.format(place=place), *lines, ""])


def sentences(module: ModuleType) -> list[tuple[str, str]]:
    """Return `(KEY, sentence)` of a place of the catalogue, as they stand there."""
    return [(key, says) for key, says in vars(module).items() if re.match(r"[A-Z]", key)]


def _camel(key: str) -> str:
    """
    >>> _camel("TAPS_UNFIT")
    'tapsUnfit'
    """
    return re.sub(r"_(.)", lambda found: found[1].upper(), key.lower())


def _line(begin: str, says: str) -> str:
    """Return a line as the phone's formatter leaves it."""
    whole = f"{begin} {_quoted(says)}"
    return whole if len(whole) <= _WIDTH else f"{begin}\n  {_quoted(says)}"


def _quoted(says: str) -> str:
    """Return a sentence as the phone writes it, its arguments in camel case."""
    camel = re.sub(r"\{[a-z]\w*(?=[,}])", lambda found: _camel(found[0]), says)
    camel = camel.replace("\n", "\\n")
    return f"'{camel}'" if "'" not in camel else f'"{camel}"'


if __name__ == "__main__":
    for each in SHARED:
        (FOLDER / f"{each}.ts").write_text(source(each), encoding="utf-8")
