"""What commands share: bad usage in one sentence, the program's name, files being written."""

import argparse
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NoReturn


class UsageError(Exception):
    """Bad usage, in one sentence."""


class Parser(argparse.ArgumentParser):
    """Bad usage is raised, not printed."""

    def error(self, message: str) -> NoReturn:
        """Raise UsageError with the message as a sentence."""
        raise UsageError(f"{message[:1].upper()}{message[1:]}; see `{program()} --help`.")


def program() -> str:
    """What a person types to start the program, as it was started this time."""
    started = Path(sys.argv[0])
    if (started.parent.name, started.name) != ("designer", "__main__.py"):
        return "rillwright"
    return "python -m designer" if os.name == "nt" else "python3 -m designer"


@contextmanager
def writing(out: Path) -> Iterator[None]:
    """Say of a file that cannot be written which one it is, not what it is called meanwhile."""
    try:
        yield
    except OSError as error:
        reason = error.strerror
        if reason is None:
            raise UsageError(str(error)) from error
        sentence = f"{str(out)!r} cannot be written: {reason[:1].lower()}{reason[1:]}."
        raise UsageError(sentence) from error
