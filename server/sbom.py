"""
The bill of materials that goes into the wheel: CycloneDX 1.6 in JSON (ECMA-424).

What the app bundles is what the bundler saw (`.bundled.json`, by `client/notices.ts`), with the
hashes of `package-lock.json`; what the server needs is `requirements.txt`. No clock and no chance:
the same sources give the same bytes.
"""

import base64
import json
import re
import tomllib
from pathlib import Path
from typing import Any

Component = dict[str, Any]


def bill(root: Path) -> str:
    """Return the bill of materials of a built tree, as JSON text."""
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    itself = {
        "type": "application",
        "bom-ref": project["name"],
        "name": project["name"],
        "version": project["version"],
        "licenses": [{"expression": project["license"]}],
        "purl": f"pkg:pypi/{project['name']}@{project['version']}",
    }
    components = [*_bundled(root), *_needed(root)]
    said = {
        "$schema": "http://cyclonedx.org/schema/bom-1.6.schema.json",
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {"component": itself},
        "components": components,
        "dependencies": [
            {"ref": project["name"], "dependsOn": sorted(one["bom-ref"] for one in components)}
        ],
    }
    return json.dumps(said, indent=1) + "\n"


def _bundled(root: Path) -> list[Component]:
    """Return what lies in the app, minified or compiled."""
    lock = json.loads((root / "client" / "package-lock.json").read_text(encoding="utf-8"))
    seen = (root / "server" / "twoturns" / "static" / ".bundled.json").read_text(encoding="utf-8")
    return [_in_app(one, lock["packages"]) for one in json.loads(seen)]


def _in_app(one: dict[str, str], locked: dict[str, Any]) -> Component:
    name = one["name"]
    component: Component = {"type": "library", "bom-ref": f"npm:{name}", "name": name}
    component |= {"licenses": [{"expression": one["license"]}]}
    if "version" in one:  # what a package was compiled with it does not always say
        component |= {"version": one["version"]}
    if "within" in one:
        return component | {"description": f"compiled into {one['within']}"}
    kind, _, digest = locked[f"node_modules/{name}"]["integrity"].partition("-")
    content = base64.b64decode(digest).hex()
    address = f"pkg:npm/{name.replace('@', '%40')}@{one['version']}"
    hashes = [{"alg": kind.upper().replace("SHA", "SHA-"), "content": content}]
    return component | {"purl": address, "hashes": hashes}


def _needed(root: Path) -> list[Component]:
    """Return what the server needs beside it; of a package for several Pythons each version."""
    text = (root / "server" / "requirements.txt").read_text(encoding="utf-8")
    return [
        {
            "type": "library",
            "bom-ref": f"pypi:{name}@{version}",
            "name": name,
            "version": version,
            "purl": f"pkg:pypi/{name}@{version}",
        }
        for name, version in re.findall(r"^([a-z0-9-]+)==([^\s;\\]+)", text, re.MULTILINE)
    ]
