"""The command line of a bench that has sections: which of them are asked for, and how large."""

import argparse
from collections.abc import Collection


def asked_for(sections: Collection[str], about: str, full: str) -> tuple[list[str], bool]:
    """Return the sections to run, and whether at their full size."""
    parser = argparse.ArgumentParser(description=about)
    parser.add_argument("sections", nargs="*", metavar="SECTION", help=", ".join(sections))
    parser.add_argument("--full", action="store_true", help=full)
    asked = parser.parse_args()
    unknown = set(asked.sections) - set(sections)
    if unknown:
        parser.error(f"no section {', '.join(sorted(unknown))}; there are {', '.join(sections)}")
    return asked.sections or list(sections), asked.full
