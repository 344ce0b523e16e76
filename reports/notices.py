#!/usr/bin/env python3
"""Whose work falseair is made with: writes reports/notices.txt from the crates that Cargo.lock
names. `--check` writes nothing and fails where the file, or a licence, is not as it should be.
Needs cargo and the crates (`cargo fetch`); Python's own library only."""

import json
import re
import subprocess
import sys
import textwrap
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
OUT = ROOT / "reports/notices.txt"
# Licences that a program under MIT OR Apache-2.0 may be made with and that ask for no more than
# their notice; the first that a crate offers is taken. None that asks for source (MPL, LGPL).
ALLOWED = ["MIT", "Zlib", "BSD-2-Clause", "BSD-3-Clause", "ISC", "Apache-2.0", "Unicode-3.0", "CC0-1.0"]
# From where to where each text runs; what stands before it are names.
RUNS = {
    "MIT": (r"Permission is hereby granted, free of charge", r"DEALINGS IN THE\s+SOFTWARE\."),
    "Zlib": (r"This software is provided 'as-is'", r"any\s+source\s+distribution\."),
    "BSD-2-Clause": (r"Redistribution and use in source", r"POSSIBILITY\s+OF SUCH DAMAGE\."),
    "BSD-3-Clause": (r"Redistribution and use in source", r"POSSIBILITY\s+OF SUCH DAMAGE\."),
    "ISC": (r"Permission to use, copy, modify", r"PERFORMANCE\s+OF\s+THIS\s+SOFTWARE\."),
    "Apache-2.0": (r"Apache License\s+Version 2\.0", r"END OF TERMS AND CONDITIONS"),
    "Unicode-3.0": (r"UNICODE LICENSE V3", r"of the copyright holder\."),
    "CC0-1.0": (r"Creative Commons Legal Code|CC0 1\.0 Universal", r"\Z"),
}
FILES = re.compile(r"(licen[cs]e|copying|copyright|notice|unlicense)", re.I)
COPYRIGHT = re.compile(r"^\W*(?:copyright\s*(?:\(c\)|©|\d{4})|(?:\(c\)|©)\s*\d{4}).*", re.I)
HEAD = """Work of others in falseair
==========================

falseair itself is under its own licence (MIT OR Apache-2.0). The program, and the engine in the
pages of `falseair classroom`, are made with the crates below; each is named with the licence that
is made use of here, its holders of copyright as its files name them, and that licence's text. The
standard library of Rust (MIT; Copyright (c) The Rust Project Contributors) is in them too.

Written by reports/notices.py from Cargo.lock; not by hand.
"""


def cargo(*arguments):
    done = subprocess.run(["cargo", *arguments], cwd=ROOT, check=True, capture_output=True, text=True)
    return done.stdout


def taken(expression):
    """The licences taken of an expression: one of each choice; None where one is not allowed."""
    found = []
    for part in re.sub(r"[()]", "", expression).split(" AND ") if " AND " in expression else [expression]:
        choices = [choice.strip() for choice in re.split(r" OR |/", part)]
        best = [licence for licence in ALLOWED if licence in choices]
        if not best:
            return None
        found.append(best[0])
    return found


def plain(text):
    return re.sub(r"\W+", " ", text).strip().lower()


def dedented(text):
    lines = ["\n".join(textwrap.wrap(line, 100)) for line in text.strip().splitlines()]
    return re.sub(r"\n{3,}", "\n\n", "\n".join(lines))


def texts(package):
    """Texts of a crate's files that speak of licences, by name."""
    folder = Path(package["manifest_path"]).parent
    kinds = ("", ".txt", ".md", ".mit", ".apache", ".0")
    found = [path for path in sorted(folder.rglob("*"))
             if path.is_file() and FILES.match(path.name) and path.suffix.lower() in kinds]
    return {path.relative_to(folder): path.read_text(errors="replace") for path in found}


def shipped():
    """Crates in the program or the page, wherever they are built: name and version."""
    tree = cargo("tree", "--workspace", "--edges", "normal", "--target", "all", "--prefix", "none",
                 "--locked", "--format", "{p}")
    return {tuple(line.split()[:2]) for line in tree.splitlines() if line.strip()}


def holders(package, files, licence):
    of_licence = [text for text in files.values() if re.search(RUNS[licence][0], text)] if licence in RUNS else []
    lines = []
    for text in of_licence or files.values():
        start = re.search(RUNS[licence][0], text).start() if of_licence and licence != "Apache-2.0" else len(text)
        for line in text[:start].splitlines():
            line = re.sub(r"\s*All rights reserved\.?", "", line.strip(" *#>\t"), flags=re.I)
            if COPYRIGHT.match(line) and "[yyyy]" not in line and line not in lines:
                lines.append(line)
    authors = ", ".join(re.sub(r"\s*<.*?>", "", author) for author in package["authors"])
    return lines or [f"by {authors}" if authors else f"by the authors of {package['name']}"]


def main():
    packages = json.loads(cargo("metadata", "--locked", "--format-version", "1"))["packages"]
    theirs = sorted((p for p in packages if p["source"]), key=lambda p: (p["name"], p["version"]))
    refused = [f"{p['name']} {p['version']}: {p['license']}" for p in theirs
               if not p["license"] or taken(p["license"]) is None]
    if refused:
        sys.exit("licences that are not in the list of reports/notices.py:\n" + "\n".join(refused))
    within = shipped()
    groups, bodies, extra, rest = defaultdict(list), {}, [], []
    for package in theirs:
        version = package["version"]
        if (package["name"], "v" + version) not in within:
            rest.append(f"{package['name']} {version}")
            continue
        files = texts(package)
        for licence in taken(package["license"]):
            body = None
            for text in files.values():
                run = RUNS.get(licence) and re.search(f"(?:{RUNS[licence][0]}).*?(?:{RUNS[licence][1]})", text, re.S)
                body = body or (run and dedented(run.group(0)))
            key = (licence, plain(body)) if body else (licence, None)
            bodies.setdefault(key, body)
            groups[key].append((package, holders(package, files, licence)))
        for name, text in files.items():
            if "notice" in name.name.lower() or len(name.parts) > 1:
                extra.append((f"{package['name']} {version}, {name}", dedented(text)))
    # A crate without a text of its own stands with those that have the licence's usual one.
    for licence, none in [key for key in groups if key[1] is None]:
        usual = max((k for k in groups if k[0] == licence and k[1]), key=lambda k: len(groups[k]), default=None)
        if usual is None:
            sys.exit(f"no text of {licence}: {[p['name'] for p, _ in groups[licence, none]]}")
        groups[usual] += groups.pop((licence, none))
    out = [HEAD]
    for key in sorted(groups, key=lambda k: (ALLOWED.index(k[0]), -len(groups[k]))):
        title = f"Licence: {key[0]}"
        out.append(f"\n{title}\n{'-' * len(title)}\n")
        for package, lines in sorted(groups[key], key=lambda g: (g[0]["name"], g[0]["version"])):
            out.append(f"* {package['name']} {package['version']} ({package['license']})")
            out += [f"    {line}" for line in lines]
        out.append("\n" + bodies[key] + "\n")
    for title, text in extra:
        out.append(f"\n{title}\n{'-' * len(title)}\n\n{text}\n")
    title = "Not in the program"
    out.append(f"\n{title}\n{'-' * len(title)}\n\nNamed by Cargo.lock for building, tests or other uses, under licences of the same list:\n")
    out += [f"- {line}" for line in rest]
    written = "\n".join(out) + "\n"
    if "--check" in sys.argv[1:]:
        if OUT.read_text() != written:
            sys.exit("reports/notices.txt is not what reports/notices.py writes: run it and commit the file")
        return
    OUT.write_text(written)
    print(f"{OUT.relative_to(ROOT)}: {len(theirs) - len(rest)} crates, {len(bodies)} texts")


main()
