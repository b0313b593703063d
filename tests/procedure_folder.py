"""The tiny procedure as a folder that the house rules prove."""

from pathlib import Path

from tiny_procedure import TINY_SOURCE

# What the house rules ask for and five steps cannot have.
ABSENT = (
    "crank_lock cam_lock pump_lock fly_lock cam_bolts tensioner_nut tensioner tensioner_pin shafts "
    "as_found pump idler kit drive_dry tension pins_re_enter pointer frequency battery "
    "belt_found gear brake lot cause seals"
)


def tiny_text() -> str:
    """The source of the tiny procedure, with a reason for everything that is absent."""
    return with_reasons(TINY_SOURCE)


def with_reasons(source: str) -> str:
    """Write into the tiny procedure why it lacks what house rules ask for."""
    return source.replace("phases:\n", f"absent:\n{_reasons(ABSENT)}phases:\n", 1)


def _reasons(words: str) -> str:
    return "".join(f"  {word}: A drive of five steps has none.\n" for word in words.split())


def proved_folder(folder: Path) -> Path:
    """Write the tiny procedure into a new folder and return it."""
    folder.mkdir()
    (folder / "procedure.yaml").write_text(tiny_text())
    return folder
