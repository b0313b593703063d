"""One module of the phone as a script that a bare page can run, for the tests and the bench."""

import json
import subprocess
from pathlib import Path

from peer import CLIENT, find_node


def bundled(entry: str, name: str, folder: Path) -> str:
    """Return the script that leaves the exports of `client/src/ENTRY` in the global `name`."""
    lib = {"entry": str(CLIENT / "src" / entry), "name": name, "formats": ["iife"]}
    build = {"lib": {**lib, "fileName": "out"}, "outDir": str(folder), "target": "es2022"}
    settings = {"root": str(CLIENT), "publicDir": False, "configFile": False, "build": build}
    config = folder / "config.mjs"
    config.write_text(f"export default {json.dumps(settings)}\n")
    vite = CLIENT / "node_modules" / "vite" / "bin" / "vite.js"
    command = [find_node(), str(vite), "build", "--config", str(config)]
    built = subprocess.run(command, cwd=CLIENT, capture_output=True, text=True, check=False)
    assert built.returncode == 0, built.stdout + built.stderr
    return (folder / "out.iife.js").read_text()
