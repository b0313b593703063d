"""The command line of a bench that has sections: which of them are asked for, and how large."""

import argparse
from collections.abc import Collection
from pathlib import Path


def asked_for(sections: Collection[str], about: str, full: str) -> tuple[list[str], bool]:
    """Return the sections to run, and whether at their full size."""
    names, is_full, _ = _asked_for(_parser(sections, about, full), sections)
    return names, is_full


def asked_for_kept(
    sections: Collection[str], about: str, full: str
) -> tuple[list[str], bool, Path | None]:
    """As `asked_for`, of a bench that may keep what it made: and in which folder, if in any."""
    parser = _parser(sections, about, full)
    parser.add_argument("--keep", type=Path, help="a folder for what is long to make")
    return _asked_for(parser, sections)


def _parser(sections: Collection[str], about: str, full: str) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description=about)
    parser.add_argument("sections", nargs="*", metavar="SECTION", help=", ".join(sections))
    parser.add_argument("--full", action="store_true", help=full)
    parser.set_defaults(keep=None)
    return parser


def _asked_for(
    parser: argparse.ArgumentParser, sections: Collection[str]
) -> tuple[list[str], bool, Path | None]:
    asked = parser.parse_args()
    unknown = set(asked.sections) - set(sections)
    if unknown:
        parser.error(f"no section {', '.join(sorted(unknown))}; there are {', '.join(sections)}")
    return asked.sections or list(sections), asked.full, asked.keep
