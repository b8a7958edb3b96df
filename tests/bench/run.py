"""Run the benchmarks and print them as tables."""

import importlib
import sys

BENCHES = {
    "drag": "one dragged bucket: edit, analyse and repaint, beside a frame of 16.7 ms",
    "start": "start to a window that takes a click, beside an empty Qt window",
    "feed_network": "the feed's heads and flows, beside scipy.optimize.root on the same equations",
    "drain_profile": "the water along a drain, beside solve_ivp at equal accuracy",
    "cycle": "a day of pump cycles",
    "stock": "the proven cutting plan, beside first-fit decreasing",
    "stand": "the stand of one run solved, and solved and judged",
    "sheet": "the build sheet as PDF, beside bare pages of reportlab",
}
"""Name of a module of this package and what it measures."""


def main(arguments: list[str]) -> int:
    """Run the named benchmarks, or all; 2 for a name that is not there."""
    unknown = [name for name in arguments if name not in BENCHES]
    if unknown:
        print(f"No benchmark {unknown[0]!r}; choose from {', '.join(BENCHES)}.", file=sys.stderr)
        return 2
    for name in arguments or BENCHES:
        print(f"\n{name}: {BENCHES[name]}", flush=True)
        for row in importlib.import_module(f"tests.bench.{name}").rows():
            print("  " + row, flush=True)
    return 0
