"""Start Rillwright: `python3 -m designer`, set up first where that is still to be done."""

from __future__ import annotations

import sys

from designer import bootstrap, systemlibs


def main() -> int:
    """Set up if need be, then run the command line; returns its exit code."""
    arguments = sys.argv[1:]
    # No argument or a file with a design opens the window; commands work without Qt.
    opens_window = not arguments or arguments[0].endswith((".rill", ".pdf"))
    bootstrap.prepare(
        "designer",
        arguments,
        stops=systemlibs.stops_window if opens_window else systemlibs.stops_nothing,
    )
    from designer.cli import main as run

    return run(arguments)


if __name__ == "__main__":
    sys.exit(main())
