"""
What is given away: the wheel with its licence, the notices of what it bundles, its bill of
materials, and the versions that it was tried with.
"""

import gzip
import json
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import hatch_build
from alone import alone
from peer import find_node

ROOT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
LOCK = json.loads((ROOT / "client" / "package-lock.json").read_text())["packages"]
REQUIREMENTS = (ROOT / "server" / "requirements.txt").read_text()
# Types for the compiler, and what the editor's languages could do and is not asked to: the bundler
# leaves all of them out, so nothing of them is in the app.
NO_CODE = {
    *("@types/emscripten", "tagged-tag", "type-fest"),
    *("@codemirror/autocomplete", "@codemirror/streamparser"),
}


def in_the_app() -> dict[str, str]:
    """What the lock file says the app needs, by name with its version."""
    named = {
        path.removeprefix("node_modules/"): one
        for path, one in LOCK.items()
        if path and not one.get("dev")
    }
    return {name: one["version"] for name, one in named.items() if name not in NO_CODE}


def pins() -> list[Requirement]:
    return [
        Requirement(line.rstrip(" \\"))
        for line in REQUIREMENTS.splitlines()
        if re.match(r"[a-z]", line)
    ]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """Return the wheel, built from this tree, by its files."""
    is_installed = (ROOT / "client" / "node_modules" / "vite").is_dir()
    with alone(ROOT / "client"):
        hatch_build.bring_up_to_date(ROOT, install=not is_installed)
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    built = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert built.returncode == 0, built.stdout + built.stderr
    (path,) = folder.glob("*.whl")
    with zipfile.ZipFile(path) as files:
        return {name: files.read(name) for name in files.namelist()}


@pytest.fixture(scope="module")
def info(wheel):
    """Return the files of its `.dist-info`."""
    return {
        name.partition("/")[2]: data
        for name, data in wheel.items()
        if name.partition("/")[0].endswith(".dist-info")
    }


def test_the_wheel_says_its_licence_and_brings_the_text(info):
    said = info["METADATA"].decode()
    assert "License-Expression: Apache-2.0\n" in said
    assert "License-File: server/LICENSE\n" in said
    text = info["licenses/server/LICENSE"].decode()
    assert "Apache License" in text
    assert text.rstrip().endswith("limitations under the License.")


def test_both_sides_name_the_same_licence():
    assert json.loads((ROOT / "client" / "package.json").read_text())["license"] == "Apache-2.0"
    assert PROJECT["license"] == "Apache-2.0"


COMPILED = {"zxing-cpp", "emscripten", "llvm", "musl", "stb_image"}  # into the reader of codes


def test_the_app_in_the_wheel_names_each_package_it_bundles_with_its_licence(wheel):
    """Held against the lock file, which the page is not made of."""
    page = wheel["twoturns/static/licences.html"].decode()
    named = dict(re.findall(r"<h2>(\S+) (\S+)</h2>", page))
    reader = named.pop("zxing-cpp")
    assert named == in_the_app()
    assert re.fullmatch("[0-9a-f]{40}", reader)
    for text in ("SIL OPEN FONT LICENSE Version 1.1", "Apache License", "MIT License"):
        assert text in page
    compiled = re.findall(r"<h2>(\S+)</h2>", page)
    assert sorted(compiled) == sorted(COMPILED - {"zxing-cpp"})
    assert page.count("<pre>") == len(named) + 1 + len(compiled)


def test_what_is_compiled_into_the_reader_of_codes_is_what_its_licences_are_of(wheel):
    """By words that each leaves in what is linked: another may come with a new version."""
    (reader,) = (data for name, data in wheel.items() if name.endswith(".wasm"))
    page = wheel["twoturns/static/licences.html"].decode()
    for words, licence in {
        b"bad huffman code": "Copyright (c) 2017 Sean Barrett",  # stb_image, of a JPEG
        b"system/lib/libcxxabi/": "---- LLVM Exceptions to the Apache 2.0 License ----",
        b"emscripten::memory_view": "Copyright (c) 2010-2014 Emscripten authors",
        b"-0X+0X 0X-0x+0x 0x": "Copyright © 2005-2020 Rich Felker, et al.",  # musl, vfprintf.c
    }.items():
        assert (words in reader, licence in page) == (True, True), words


def test_the_page_of_licences_is_kept_on_the_phone_with_the_app(wheel):
    assert b"/licences.html" in wheel["twoturns/static/sw.js"]


def test_each_text_of_the_app_comes_packed_and_nothing_in_it_tells_of_the_build(wheel):
    """Gzip by Python's own reader, brotli by Node's; RFC 1952, 2.3.1: bytes 4 to 7 are a time."""
    app = {name: data for name, data in wheel.items() if name.startswith("twoturns/static/")}
    texts = [name for name in app if re.search(r"\.(css|html|js|svg|wasm|webmanifest)$", name)]
    assert {"twoturns/static/index.html", "twoturns/static/sw.js"} < set(texts)
    for name in texts:
        packed = app[f"{name}.gz"]
        assert gzip.decompress(packed) == app[name]
        assert packed[4:8] == bytes(4)
        assert unpacked_by_node(app[f"{name}.br"]) == app[name]
        assert len(app[f"{name}.br"]) < len(packed) <= len(app[name])


def unpacked_by_node(data: bytes) -> bytes:
    script = (
        "const { brotliDecompressSync } = require('node:zlib');"
        "process.stdout.write(brotliDecompressSync(require('node:fs').readFileSync(0)))"
    )
    command = [find_node(), "-e", script]
    return subprocess.run(command, input=data, capture_output=True, check=True).stdout


def test_the_bill_of_materials_is_cyclonedx_and_names_all_that_is_in_it(info):
    """The schema is OWASP's, as the CycloneDX project's own library brings it."""
    from cyclonedx.schema import SchemaVersion  # of this test alone: the others do without it
    from cyclonedx.validation.json import JsonStrictValidator

    text = info["sboms/twoturns.cdx.json"].decode()
    assert JsonStrictValidator(SchemaVersion.V1_6).validate_str(text) is None
    said = json.loads(text)
    found = {(one["name"], one.get("version", "")) for one in said["components"]}
    needed = {(pin.name, str(next(iter(pin.specifier)).version)) for pin in pins()}
    assert {*in_the_app().items()} | needed <= found
    assert {name for name, _ in found - {*in_the_app().items()} - needed} == COMPILED


def test_each_version_that_serve_was_tried_with_is_one_that_the_project_allows():
    pinned = {}
    for pin in pins():
        pinned.setdefault(canonicalize_name(pin.name), []).append(pin)
    for text in PROJECT["dependencies"]:
        wanted = Requirement(text)
        found = pinned.get(canonicalize_name(wanted.name))
        assert found, f"{wanted.name}: make server/requirements.txt anew, its head says how"
        for pin in found:
            assert wanted.specifier.contains(next(iter(pin.specifier)).version), text


def test_each_version_has_hashes_and_no_address_of_any_index():
    blocks = re.split(r"\n(?=[a-z])", REQUIREMENTS)[1:]
    assert len(blocks) == len(pins())
    for block in blocks:
        assert re.search(r"--hash=sha256:[0-9a-f]{64}\b", block), block.splitlines()[0]
    assert "://" not in REQUIREMENTS


def test_the_page_of_changes_begins_with_this_version():
    page = (ROOT / "server" / "docs" / "changes.md").read_text()
    first = re.search(r"^## (\S+)", page, re.MULTILINE)
    assert first
    assert first[1] == PROJECT["version"]
