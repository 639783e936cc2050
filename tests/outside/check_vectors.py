"""The check vectors of the trade through the command line: one row of vectors.txt each, with its source."""

import json
import pathlib
import shlex

from stemclock import reckon


def check_vectors():
    """Published tables and worked examples, the source beside each row of vectors.txt."""
    for line in pathlib.Path(__file__).with_name("vectors.txt").read_text(encoding="utf-8").splitlines():
        if not line.strip() or line.startswith("#"):
            continue
        words, field, expected, tolerance, source = (part.strip() for part in line.split("|"))
        assert source, f"names no source: {line}"
        try:
            wanted = json.loads(expected)
        except json.JSONDecodeError:
            wanted = expected
        found = reckon(*shlex.split(words))
        yield f"{words} {field} ({source})", found.get(field, f"no field {field}"), wanted, float(tolerance or 0)
