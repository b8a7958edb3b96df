"""Set up a source checkout at its first start, and go on inside its own `.venv`.

`python3 -m designer` and `python3 -m tests` come through here. In a checkout that is not set up
yet this makes `.venv` beside pyproject.toml, installs the project into it as editable and goes on
inside it; the next start finds the stamp left there and goes on at once. An installed copy, or a
start from inside `.venv`, is left alone. Only the standard library is used, and the file parses on
Python 3.8, so that an older Python can be told in one sentence that it is too old.
"""

from __future__ import annotations

import hashlib
import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Callable, Iterator, NoReturn, Sequence

from designer import systemlibs

PACKAGE = Path(__file__).resolve().parent
OLDEST_PYTHON = (3, 11)
LAST_LINES = 12  # of pip's, shown when it fails


class SetUpError(Exception):
    """Setting up cannot go on; the text says why and what to do."""


def prepare(
    module: str,
    arguments: Sequence[str],
    extras: Sequence[str] = (),
    stops: Callable[[list[systemlibs.Library]], bool] = systemlibs.stops_window,
) -> None:
    """Return where everything is in place, else set up and run `module` again inside `.venv`.

    `extras` are the project's optional dependency groups wanted; `stops` decides whether missing
    system libraries end the start or are only told. Raises SystemExit with a sentence for people
    where setting up fails, and with the exit code of the run where it replaces this process.
    """
    root = checkout_root()
    if root is None or is_inside(root):
        return
    try:
        require_python()
        found = read_stamp(root).get("libraries") or require_libraries(stops)
        if not is_ready(root, extras):
            with alone(root):
                if not is_ready(root, extras):
                    set_up(root, extras)
        stamp = read_stamp(root)
        if found and not stamp.get("libraries"):
            write_stamp(root, {**stamp, "libraries": True})
    except SetUpError as problem:
        raise SystemExit(str(problem)) from None
    except OSError as problem:
        raise SystemExit(f"Rillwright could not be set up in {root}: {problem}.") from None
    except KeyboardInterrupt:
        raise SystemExit("Stopped. The next start sets up Rillwright again.") from None
    go_on_inside(root, module, arguments)


def checkout_root(package: Path = PACKAGE) -> Path | None:
    """The folder of the source checkout that `package` stands in; None for an installed copy."""
    project = package.parent / "pyproject.toml"
    if not project.is_file():
        return None
    ours = re.search(r'^name = "rillwright"$', project.read_text(encoding="utf-8"), re.MULTILINE)
    return package.parent if ours else None


def is_inside(root: Path) -> bool:
    """Whether this interpreter already is the one of the checkout's `.venv`."""
    return Path(sys.prefix).resolve() == (root / ".venv").resolve()


def require_python(version: tuple[int, int] = sys.version_info[:2]) -> None:
    """Raise SetUpError where Python `version` (major, minor) is too old."""
    if version < OLDEST_PYTHON:
        raise SetUpError(
            "Rillwright needs Python {}.{} or newer and this is Python {}.{}; "
            "install a newer one and start again with it.".format(*OLDEST_PYTHON, *version)
        )


def venv_python(root: Path) -> Path:
    """The interpreter of the checkout's `.venv`, whether or not it is there yet."""
    return root / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def stamp_key(root: Path) -> str:
    """Hash of all that decides what must be installed, and where and with which interpreter."""
    import tomllib

    document = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))
    project = document["project"]
    parts = ["requires-python", "dependencies", "optional-dependencies", "scripts"]
    decisive = [
        document["build-system"],
        {part: project.get(part) for part in parts},
        str(root),
        # Changes when the system's Python is replaced by the next one under the same link.
        os.path.realpath(venv_python(root)),
    ]
    return hashlib.sha256(json.dumps(decisive).encode()).hexdigest()


def read_stamp(root: Path) -> dict[str, Any]:
    """What the last set-up recorded; empty where there is nothing that can be read."""
    try:
        stamp = json.loads((root / ".venv" / "rillwright.json").read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return stamp if isinstance(stamp, dict) else {}


def write_stamp(root: Path, stamp: dict[str, Any]) -> None:
    """Record `stamp` for the next start, in one stroke for a start that reads it right now."""
    new = root / ".venv" / f"rillwright-{os.getpid()}.json"
    new.write_text(json.dumps(stamp), encoding="utf-8")
    new.replace(root / ".venv" / "rillwright.json")


def is_ready(root: Path, extras: Sequence[str]) -> bool:
    """Whether `.venv` is complete and holds these extras for the present pyproject.toml."""
    complete = venv_python(root).exists() and (root / ".venv" / "pyvenv.cfg").exists()
    stamp = read_stamp(root)
    return (
        complete
        and set(extras) <= set(stamp.get("extras", []))
        and stamp.get("key") == stamp_key(root)
    )


@contextmanager
def alone(root: Path) -> Iterator[None]:
    """Let only one start at a time set up; a second one waits here for the first.

    The lock goes with the process that holds it, however that ends. Windows has no such lock for
    a file that others read, and does without.
    """
    if os.name == "nt":
        yield
        return
    import fcntl

    with (root / "pyproject.toml").open(encoding="utf-8") as held:
        try:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            tell("Waiting for another start of Rillwright that is setting up.")
            fcntl.flock(held, fcntl.LOCK_EX)
        yield


def set_up(root: Path, extras: Sequence[str]) -> None:
    """Make `.venv` where it is missing or broken, and install the project with `extras` into it.

    Raises SetUpError where that fails.
    """
    before = read_stamp(root)
    if before.get("unfinished") or not is_usable(root):
        before = {}
        make_venv(root)
    else:
        tell("Bringing Rillwright's own Python folder (.venv) up to date.")
    everything = sorted({*extras, *before.get("extras", [])})
    write_stamp(root, {"unfinished": True})
    target = "{}[{}]".format(root, ",".join(everything)) if everything else str(root)
    command = [str(venv_python(root)), "-m", "pip", "install", "--editable", target]
    command += ["--disable-pip-version-check", "--no-input", "--progress-bar", "off"]
    code, lines = run_pip(command, root)
    if code != 0:
        write_stamp(root, before)  # pip takes back what it could not finish
        last = "\n".join("    " + line for line in lines[-LAST_LINES:])
        raise SetUpError(
            "Rillwright could not be set up because pip failed; check the internet connection "
            f"and start again.\nThe last lines from pip:\n{last}"
        )
    write_stamp(root, {"key": stamp_key(root), "extras": everything})
    tell("Set up.")


def is_usable(root: Path) -> bool:
    """Whether `.venv` has an interpreter that is new enough and can run pip."""
    if not (venv_python(root).exists() and (root / ".venv" / "pyvenv.cfg").exists()):
        return False
    probe = f"import sys, pip; sys.exit(sys.version_info < {OLDEST_PYTHON})"
    done = subprocess.run([str(venv_python(root)), "-c", probe], capture_output=True, check=False)
    return done.returncode == 0


def make_venv(root: Path) -> None:
    """Make `.venv` anew, marked unfinished; raises SetUpError where that fails."""
    require_venv_module()
    tell("Setting up Rillwright in its own folder (.venv). This happens once and takes minutes.")
    folder = root / ".venv"
    if folder.exists():
        shutil.rmtree(folder)
    folder.mkdir()
    write_stamp(root, {"unfinished": True})
    done = subprocess.run(
        [sys.executable, "-m", "venv", str(folder)],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    if done.returncode != 0:
        raise SetUpError(f"Python could not make the folder {folder}:\n{done.stdout.strip()}")


def require_venv_module() -> None:
    """Raise SetUpError where Python comes without venv, as on Debian; as root install it."""
    if all(importlib.util.find_spec(name) for name in ("venv", "ensurepip")):
        return
    package = "python{}.{}-venv".format(*sys.version_info[:2])
    if systemlibs.may_install():
        tell(f"Installing {package} with apt-get.")
        if systemlibs.apt_install([package]):
            return
    raise SetUpError(
        "This Python comes without its venv module; on Debian or Ubuntu install it with this "
        f"line, then start again:\n    {systemlibs.install_line([package])}"
    )


def run_pip(command: Sequence[str], root: Path) -> tuple[int, list[str]]:
    """Run pip, telling its progress in plain words; its exit code and all its lines."""
    lines = []
    with subprocess.Popen(
        command,
        cwd=root,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as pip:
        assert pip.stdout is not None
        for line in pip.stdout:
            lines.append(line.rstrip())
            progress = in_plain_words(line)
            if progress:
                tell(progress)
    return pip.returncode, lines


def in_plain_words(line: str) -> str:
    """What one line of pip's output tells a person; empty where it tells nothing."""
    fetching = re.match(r"\s*Collecting ([\w.-]+)", line)
    if fetching:
        return f"  Fetching {fetching.group(1)}"
    size = re.match(r"\s*Downloading \S+ \(([\d.]+) MB\)", line)
    if size:
        return f"    {size.group(1)} MB to download"
    installing = re.match(r"Installing collected packages: (.+)", line)
    if installing:
        packages = installing.group(1).split(", ")
        return (
            f"  Installing {len(packages)} packages" if packages[1:] else "  Installing Rillwright"
        )
    return ""


def require_libraries(stops: Callable[[list[systemlibs.Library]], bool]) -> bool:
    """Whether Qt's system libraries are all there, after installing them where that is allowed.

    Raises SetUpError where some stay missing and `stops` says that this start needs them.
    """
    missing = systemlibs.missing_libraries()
    if missing and systemlibs.may_install():
        packages = systemlibs.packages_of(missing)
        tell("Installing system libraries with apt-get: {}".format(" ".join(packages)))
        systemlibs.apt_install(packages)
        missing = systemlibs.missing_libraries()
    if missing and stops(missing):
        raise SetUpError(systemlibs.shortage(missing))
    if missing:
        tell(systemlibs.shortage(missing))
    return not missing


def go_on_inside(root: Path, module: str, arguments: Sequence[str]) -> NoReturn:
    """Run `module` with the interpreter of `.venv` in place of this process."""
    command = [str(venv_python(root)), "-m", module, *arguments]
    sys.stdout.flush()
    sys.stderr.flush()
    if os.name == "nt":  # where exec would return to the prompt before the program ends
        raise SystemExit(subprocess.call(command))
    os.execv(command[0], command)


def tell(line: str) -> None:
    """Show a line to the person, apart from what the program writes to standard output."""
    print(line, file=sys.stderr, flush=True)
