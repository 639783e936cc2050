"""Calls the program under test and reads its JSON."""

import json
import os
import subprocess

PROGRAM = os.environ["STEMCLOCK"]


def reckon(*words):
    """The answer of `stemclock reckon WORDS --json` as a dictionary."""
    done = subprocess.run([PROGRAM, "reckon", *map(str, words), "--json"], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise RuntimeError(f"reckon {words}: exit code {done.returncode}: {done.stderr.strip()}")
    return json.loads(done.stdout)

