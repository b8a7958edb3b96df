"""From the words typed to what is done: a command, or the window."""

import argparse
import io
import os
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from pathlib import Path

from designer.cli.commands import analysis_of, write_picture, write_sheet
from designer.cli.parsers import COMMANDS, command_parser, window_parser
from designer.cli.usage import UsageError, program, writing
from designer.model.faults import DesignError
from designer.units import LengthError


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line; returns the exit code and never shows a traceback for bad input."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a console that has not all letters shows "?"
            stream.reconfigure(errors="replace")
    try:
        if arguments and arguments[0] in COMMANDS:
            options = command_parser().parse_args(arguments)
            code: int = options.work(options)
            return code
        if arguments:
            _refuse_mistyped(arguments[0])
        return _window(window_parser().parse_args(arguments))
    except UsageError as error:
        return _refuse(str(error))
    except (DesignError, LengthError) as error:
        return _refuse(str(error))
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except OSError as error:
        reason = error.strerror or str(error)
        return _refuse(f"{error.filename or 'The file'}: {reason[:1].lower()}{reason[1:]}.")


def _refuse(sentence: str) -> int:
    print(f"{program()}: {sentence}", file=sys.stderr)
    return 2


def _refuse_mistyped(word: str) -> None:
    """Refuse a word that is neither a command nor an option nor looks like a file's name."""
    if not word or word[0] == "-" or {".", "/", os.sep} & set(word) or Path(word).exists():
        return
    meant = get_close_matches(word, COMMANDS, 1) or [f"one of {', '.join(COMMANDS)}"]
    raise UsageError(f"There is no command {word!r}; did you mean {meant[0]}?")


def _window(options: argparse.Namespace) -> int:
    if options.file is not None and options.file.is_dir():
        raise UsageError(f"{str(options.file)!r} is a folder; name a design file in it.")
    if not _has_display():
        return _without_display(options.file)
    from designer.window.app import run  # Qt only when a window opens

    return run(options.file, sys.argv[:1])


def _has_display() -> bool:
    if not sys.platform.startswith("linux"):
        return True
    names = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return any(os.environ.get(name) for name in names)


def _without_display(file: Path | None) -> int:
    """Draw the file that was to be opened, or a sample, into out/."""
    from designer.resources import sample_paths

    folder = Path("out")
    source = file or sample_paths()[0]
    analysis = analysis_of(source)
    what = f"{source.name}" if file else f"the sample {source.stem!r}"
    print(f"No display here, so {what} is drawn into {folder}/ instead:")
    with writing(folder):
        folder.mkdir(exist_ok=True)
    stem = source.stem if source.parent != folder else f"{source.stem} again"
    for write, suffix in ((write_sheet, ".pdf"), (write_picture, ".svg")):
        out = folder / f"{stem}{suffix}"
        with writing(out):
            write(analysis, out)
        print(out)
    return 0
