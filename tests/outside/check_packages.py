"""The packages that the program is made of, against .deny.toml: licences, sources, and names that may not be there.

It needs no network and nothing installed but cargo: `cargo metadata` tells what is built on this system, Cargo.lock what
any system would take. Where cargo-deny is installed, tests/all asks that as well.
"""

import functools
import json
import pathlib
import re
import subprocess
import tomllib

HOME = pathlib.Path(__file__).resolve().parents[2]


@functools.cache
def rules():
    return tomllib.loads((HOME / ".deny.toml").read_text())


@functools.cache
def locked():
    return tomllib.loads((HOME / "Cargo.lock").read_text())["package"]


@functools.cache
def packages():
    def ask(*words):
        return subprocess.run(words, cwd=HOME, check=True, capture_output=True, text=True).stdout

    host = re.search(r"^host: (.+)$", ask("rustc", "-vV"), re.M)[1]
    words = ["cargo", "metadata", "--offline", "--locked", "--format-version", "1", "--filter-platform", host]
    return json.loads(ask(*words))["packages"]


def may(expression, allowed):
    """Whether a licence expression can be met with the licences that are allowed. `/` is an older way to write OR."""
    words = re.findall(r"[()]|[^\s()/]+|/", expression)

    def either():
        met = both()
        while words and words[0] in ("OR", "/"):
            words.pop(0)
            met = both() or met
        return met

    def both():
        met = one()
        while words and words[0] == "AND":
            words.pop(0)
            met = one() and met
        return met

    def one():
        word = words.pop(0)
        if word == "(":
            met = either()
            assert words.pop(0) == ")", expression
            return met
        if words and words[0] == "WITH":
            words.pop(0)
            word = f"{word} WITH {words.pop(0)}"
        return word in allowed

    met = either()
    assert not words, expression
    return met


def check_expressions():
    """Licence expressions are read as SPDX 2.3 annex D writes them"""
    allowed = {"MIT", "Zlib", "Apache-2.0 WITH LLVM-exception"}
    for expression, expected in [
        ("MIT", True),
        ("GPL-3.0-only", False),
        ("GPL-3.0-only OR MIT", True),
        ("MIT/GPL-3.0-only", True),
        ("MIT AND GPL-3.0-only", False),
        ("(MIT OR GPL-3.0-only) AND Zlib", True),
        ("(Apache-2.0 OR GPL-3.0-only) AND Zlib", False),
        ("Apache-2.0", False),
        ("Apache-2.0 WITH LLVM-exception", True),
        # AND binds more closely than OR.
        ("MIT OR Zlib AND GPL-3.0-only", True),
    ]:
        yield expression, may(expression, allowed), expected


def check_licences():
    """Licences of every package built here, by its own manifest, against .deny.toml"""
    allowed = set(rules()["licenses"]["allow"])
    named = {f"{p['name']} {p['version']}": p["license"] for p in packages()}
    refused = {name: found for name, found in named.items() if not found or not may(found, allowed)}
    yield f"packages under other licences ({len(named)} looked at)", refused, {}
    # A licence that nobody uses any more would let one in unseen.
    used = " ".join(found or "" for found in named.values())
    yield "allowed licences that no package uses", [licence for licence in allowed if licence not in used], []


def check_sources():
    """Every package of Cargo.lock comes from one registry with its check sum, none from a repository or a folder"""
    yield "the rules", rules()["sources"], {"unknown-registry": "deny", "unknown-git": "deny"}
    others = [package for package in locked() if package["name"] != "stemclock"]
    sources = {package.get("source", "a folder") for package in others}
    yield "kinds of places", {source.split("+")[0] for source in sources}, {"registry"}
    yield "registries", len(sources), 1
    unsure = [p["name"] for p in others if not re.fullmatch("[0-9a-f]{64}", p.get("checksum", ""))]
    yield f"packages without a check sum ({len(others)} looked at)", unsure, []


def check_bans():
    """No package that .deny.toml bans is in Cargo.lock, and none is asked for without a version"""
    names = {package["name"] for package in locked()}
    yield "banned packages", names & set(rules()["bans"]["deny"]), set()
    manifest = tomllib.loads((HOME / "Cargo.toml").read_text())
    asked = {**manifest["dependencies"], **manifest["dev-dependencies"]}
    versions = {name: how if isinstance(how, str) else how.get("version", "*") for name, how in asked.items()}
    yield "packages asked for in any version", [name for name, version in versions.items() if "*" in version], []
