"""System libraries that Qt needs on Linux: which are missing, and how to get them.

A bare Debian or Ubuntu lacks several of them, and Qt's own message names one at a time or none.
The names were read from the dynamic sections of PySide6-Essentials 6.11 (libQt6Core, libQt6Gui,
libQt6DBus, the xcb and offscreen platforms), the packages from Debian 12's file lists. Parses on
Python 3.8, like bootstrap.py.
"""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import sys
from typing import Callable, NamedTuple


class Library(NamedTuple):
    """A shared library by the name the loader knows it by, and the Debian package it is in."""

    name: str
    package: str
    x11_only: bool = False


LIBRARIES = (
    Library("libGL.so.1", "libgl1"),
    Library("libEGL.so.1", "libegl1"),
    Library("libX11.so.6", "libx11-6"),
    Library("libdbus-1.so.3", "libdbus-1-3"),
    Library("libfontconfig.so.1", "libfontconfig1"),
    Library("libfreetype.so.6", "libfreetype6"),
    Library("libglib-2.0.so.0", "libglib2.0-0"),
    Library("libgthread-2.0.so.0", "libglib2.0-0"),
    Library("libxkbcommon.so.0", "libxkbcommon0"),
    Library("libX11-xcb.so.1", "libx11-xcb1", True),
    Library("libxcb-cursor.so.0", "libxcb-cursor0", True),
    Library("libxcb-icccm.so.4", "libxcb-icccm4", True),
    Library("libxcb-image.so.0", "libxcb-image0", True),
    Library("libxcb-keysyms.so.1", "libxcb-keysyms1", True),
    Library("libxcb-randr.so.0", "libxcb-randr0", True),
    Library("libxcb-render-util.so.0", "libxcb-render-util0", True),
    Library("libxcb-render.so.0", "libxcb-render0", True),
    Library("libxcb-shape.so.0", "libxcb-shape0", True),
    Library("libxcb-shm.so.0", "libxcb-shm0", True),
    Library("libxcb-sync.so.1", "libxcb-sync1", True),
    Library("libxcb-util.so.1", "libxcb-util1", True),
    Library("libxcb-xfixes.so.0", "libxcb-xfixes0", True),
    Library("libxcb-xkb.so.1", "libxcb-xkb1", True),
    Library("libxkbcommon-x11.so.0", "libxkbcommon-x11-0", True),
)


def missing_libraries(
    load: Callable[[str], object] = ctypes.CDLL, platform: str = sys.platform
) -> list[Library]:
    """The libraries of LIBRARIES that the loader cannot find; always empty outside Linux."""
    if not platform.startswith("linux"):
        return []
    missing = []
    for library in LIBRARIES:
        try:
            load(library.name)
        except OSError:
            missing.append(library)
    return missing


def stops_window(missing: list[Library]) -> bool:
    """Whether a window cannot open without these: a Wayland session does without the X11 ones."""
    wayland = bool(os.environ.get("WAYLAND_DISPLAY"))
    return any(not (library.x11_only and wayland) for library in missing)


def stops_screenless(missing: list[Library]) -> bool:
    """Whether Qt cannot even start without a screen, as the tests run it."""
    return any(not library.x11_only for library in missing)


def stops_nothing(missing: list[Library]) -> bool:
    """For a start that only computes and writes files, which Qt has no part in."""
    return False


def packages_of(missing: list[Library]) -> list[str]:
    """The Debian packages that bring these libraries, each once, sorted."""
    return sorted({library.package for library in missing})


def install_line(packages: list[str]) -> str:
    """The line to type on Debian or Ubuntu to install these packages."""
    return "sudo apt-get install -y " + " ".join(packages)


def shortage(missing: list[Library]) -> str:
    """What is missing and the line that mends it, for people to read."""
    names = ", ".join(library.name for library in missing)
    return (
        f"This computer lacks system libraries that the window needs: {names}.\n"
        "On Debian or Ubuntu install them with this line, then start again:\n"
        f"    {install_line(packages_of(missing))}"
    )


def may_install() -> bool:
    """Whether this process can install Debian packages itself."""
    return hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get") is not None


def apt_install(packages: list[str]) -> bool:
    """Install Debian packages, quietly; whether apt-get reported success."""
    quiet = dict(os.environ, DEBIAN_FRONTEND="noninteractive")
    install = ["apt-get", "install", "-y", "--no-install-recommends", *packages]
    for command in (["apt-get", "update"], install):
        done = subprocess.run(
            command,
            env=quiet,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            check=False,
        )
    return done.returncode == 0
