"""Run every check: `python3 -m tests`, set up first where that is still to be done.

With no argument: ruff, mypy, then pytest, whose closing line comes last. `python3 -m tests bench`
runs the speed measurements; any other arguments go to pytest alone.
"""

from __future__ import annotations

import importlib
import os
import subprocess
import sys
from pathlib import Path

from designer import bootstrap, systemlibs

ROOT = Path(__file__).resolve().parent.parent
LINT = (
    ("ruff check", ["ruff", "check", "."]),
    ("ruff format", ["ruff", "format", "--check", "."]),
    ("mypy", ["mypy"]),
)


def main() -> int:
    """Set up if need be, then run what the arguments ask for; 0 where all of it passed."""
    arguments = sys.argv[1:]
    bootstrap.prepare("tests", arguments, extras=["tests"], stops=systemlibs.stops_screenless)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    if arguments[:1] == ["bench"]:
        bench = importlib.import_module("tests.bench.run")
        return int(bench.main(arguments[1:]) or 0)
    if arguments:
        return run("pytest", ["pytest", *arguments])
    failed = [name for name, command in LINT if run(name, command) != 0]
    if failed:
        print("Failed so far: {}.".format(", ".join(failed)), flush=True)
    return max(run("pytest", ["pytest"]), 1 if failed else 0)


def run(name: str, command: list[str]) -> int:
    """Run a module of this interpreter in the checkout after a line naming it; its exit code."""
    print(f"== {name}", flush=True)
    return subprocess.call([sys.executable, "-m", *command], cwd=ROOT, stdin=subprocess.DEVNULL)


if __name__ == "__main__":
    sys.exit(main())
