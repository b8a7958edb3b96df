"""The command line: the window, and the same work without one.

Exit codes: 0 done, 1 a check says Must fix, 2 bad input or usage with one sentence on stderr.
"""

from designer.cli.parsers import COMMANDS
from designer.cli.start import main

__all__ = ["COMMANDS", "main"]
