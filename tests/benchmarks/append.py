"""How fast the book takes entries, beside a bare durable insert on the same disk.

Ours: one act with one entry, its mentions, states and frontier, in one durable transaction. Bare:
one row and one commit at a time through Python's sqlite3, write-ahead log, synchronous = FULL.
"""

import json
import subprocess
import sys
import tempfile
from statistics import median


def measure() -> list[tuple[str, str]]:
    """Both rates, taken in turn, and the ratio of the middle ones."""
    with tempfile.TemporaryDirectory(prefix="append-") as folder:
        command = [sys.executable, "-m", "tests.benchmarks._append_run", folder]
        ran = subprocess.run(command, capture_output=True, text=True, check=True)
    found = json.loads(ran.stdout.splitlines()[-1])
    columns = zip(*found["seconds"], strict=True)
    bare, ours, busy = (median(column) / found["acts"] for column in columns)
    return [
        ("a bare durable insert", f"{1e3 * bare:.2f} ms, {1 / bare:,.0f} a second"),
        ("an act with one entry", f"{1e3 * ours:.2f} ms, {1 / ours:,.0f} a second"),
        ("of which the processor, whatever the disk", f"{1e3 * busy:.2f} ms"),
        ("ratio of the rates, ours to bare", f"1/{ours / bare:.1f}"),
        ("PRAGMA synchronous on ours", f"{found['sync']} (2 is FULL)"),
    ]
