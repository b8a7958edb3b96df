"""The commands and their options."""

import argparse
from pathlib import Path

from designer import __version__
from designer.cli import commands
from designer.cli.usage import Parser, program

COMMANDS = {
    "check": "list what must be fixed",
    "water": "work out pump, flows, drain and reservoir",
    "takeoff": "tell what to buy, how to cut it and what the stand carries",
    "sheet": "write the build sheet as PDF",
    "picture": "write the drawing as PNG or SVG",
    "sketch": "write a first design from a few answers",
}
"""Every command with what it does."""


def window_parser() -> argparse.ArgumentParser:
    """What stands behind the program's name where no command does."""
    lines = [
        "Without a command the window opens. The commands work without it:",
        *(f"  {name:<10}{does}" for name, does in COMMANDS.items()),
        "",
        f"`{program()} COMMAND --help` tells more of each.",
    ]
    parser = Parser(
        prog=program(),
        usage="%(prog)s [FILE]\n       %(prog)s COMMAND ...\n       %(prog)s --help | --version",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Design a recirculating bucket bed: drag it together, check it, print it.",
        epilog="\n".join(lines),
    )
    parser.add_argument("--version", action="version", version=f"rillwright {__version__}")
    parser.add_argument("file", nargs="?", type=Path, metavar="FILE", help="a design or its PDF")
    return parser


def command_parser() -> argparse.ArgumentParser:
    """The commands; the options they give hold the function to call as `work`."""
    parser = Parser(prog=program())
    known = parser.add_subparsers(dest="command", parser_class=Parser, required=True)

    def command(name: str) -> argparse.ArgumentParser:
        does = COMMANDS[name]
        made = known.add_parser(name, description=f"{does[:1].upper()}{does[1:]}.")
        if name != "sketch":  # the only one that does not begin with a design
            made.add_argument("file", type=Path, metavar="FILE", help="a design or its PDF")
        return made

    check = command("check")
    check.add_argument("--json", action="store_true", help="findings and counts as JSON")
    check.set_defaults(work=commands.check)

    water = command("water")
    water.add_argument("--json", action="store_true", help="all numbers as JSON")
    water.set_defaults(work=commands.water)

    takeoff = command("takeoff")
    takeoff.add_argument("--json", action="store_true", help="all of it as JSON")
    takeoff.add_argument("--csv", type=Path, metavar="DIR", help="write tables into this folder")
    takeoff.add_argument("--prices", type=Path, metavar="FILE.csv", help="your own price book")
    takeoff.set_defaults(work=commands.takeoff)

    sheet = command("sheet")
    sheet.add_argument("--out", type=Path, required=True, metavar="X.pdf")
    sheet.add_argument("--paper", choices=("a4", "letter", "a3", "tabloid"))
    sheet.add_argument(
        "--template-paper", metavar="PAPER", help="such as a3, roll-610 or roll-24in; else --paper"
    )
    sheet.add_argument("--only", choices=("templates",))
    sheet.add_argument(
        "--templates", metavar="NAMES", help='such as "outlet, lid, drain collar", or "all"'
    )
    sheet.add_argument("--buckets", metavar="LETTERS", help="such as A,B: templates of these only")
    sheet.set_defaults(work=commands.sheet)

    picture = command("picture")
    picture.add_argument("--out", type=Path, required=True, metavar="X.png|X.svg")
    picture.add_argument("--view", choices=("plan", "elevation", "both", "section"), default="both")
    picture.set_defaults(work=commands.picture)

    sketch = command("sketch")
    sketch.add_argument("--out", type=Path, required=True, metavar="FILE")
    sketch.add_argument("--force", action="store_true", help="replace FILE where there is one")
    sketch.add_argument("--buckets", type=int, metavar="N")
    sketch.add_argument(
        "--space", metavar="L", help="length of ground for bed and reservoir, instead of --buckets"
    )
    sketch.add_argument("--pitch", metavar="L", help="such as 12 in or 300 mm")
    sketch.add_argument("--crop", default="tomato", metavar="NAME")
    sketch.add_argument("--bucket", metavar="PART", help="a bucket of the parts catalogue")
    sketch.add_argument("--units", choices=("metric", "imperial"), default="metric")
    sketch.add_argument("--paper", choices=("a4", "letter"))
    sketch.add_argument("--reservoir", choices=("end", "beside"), default="end")
    sketch.add_argument("--title", default="My bucket bed")
    sketch.set_defaults(work=commands.sketch)
    return parser
