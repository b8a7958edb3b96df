"""Every menu entry, shortcut and toolbar button, in one table.

`needs` says when an entry can be used: always, with a design open, with anything chosen, with a
bucket chosen, or when there is a step to undo or redo.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu, QWidget

from designer.window.icons import icon

Need = Literal["nothing", "design", "chosen", "bucket", "undo", "redo"]


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry. Entries of one `group` exclude each other; `checked` ones keep a tick."""

    name: str
    text: str
    tip: str = ""
    keys: tuple[str, ...] = ()
    icon: str = ""
    needs: Need = "design"
    group: str = ""
    checked: bool = False
    role: QAction.MenuRole = QAction.MenuRole.NoRole


@dataclass(frozen=True, slots=True)
class Submenu:
    """A menu inside a menu. One without entries is filled by the window under its `name`."""

    name: str
    text: str
    entries: tuple[Entry, ...] = ()


LINE = None
Item = Entry | Submenu | None

FILE: tuple[Item, ...] = (
    Entry("new", "&New", "Start a new design from a few questions", ("Ctrl+N",), "new", "nothing"),
    Entry("new_window", "New &window", "Open another window", ("Ctrl+Shift+N",), needs="nothing"),
    Entry("open", "&Open…", "Open a design", ("Ctrl+O",), "open", "nothing"),
    Submenu("recent", "Open &recent"),
    Submenu("samples", "Sa&mples"),
    LINE,
    Entry("save", "&Save", "Save the design", ("Ctrl+S",), "save"),
    Entry("save_as", "Save &as…", "Save the design under another name", ("Ctrl+Shift+S",)),
    LINE,
    Entry(
        "export_sheet",
        "Export &build sheet…",
        "Make the PDF to build from: drawings, lists and drill templates",
        ("Ctrl+E",),
        "sheet",
    ),
    Entry(
        "export_templates",
        "Export &templates…",
        "Make a PDF of the full-scale drill templates only",
        ("Ctrl+Shift+E",),
        "templates",
    ),
    Entry("export_picture", "Export p&icture…", "Make a picture of the drawing", (), "picture"),
    LINE,
    Entry("print", "&Print…", "See the pages and print them at true size", ("Ctrl+P",), "print"),
    Entry(
        "calibrate",
        "Cali&brate a printer…",
        "Make a printer print true to size",
        needs="nothing",
    ),
    LINE,
    Entry("close", "&Close", "Close the design and go to the start page", ("Ctrl+W",)),
    Entry(
        "quit",
        "&Quit",
        "Close every window",
        ("Ctrl+Q",),
        needs="nothing",
        role=QAction.MenuRole.QuitRole,
    ),
)

EDIT: tuple[Item, ...] = (
    Entry("undo", "&Undo", "Take back the last step", ("Ctrl+Z",), "undo", "undo"),
    Entry("redo", "&Redo", "Do it again", ("Ctrl+Shift+Z", "Ctrl+Y"), "redo", "redo"),
    LINE,
    Entry("cut", "Cu&t", "Copy the chosen parts and delete them", ("Ctrl+X",), needs="chosen"),
    Entry("copy", "&Copy", "Copy the chosen parts", ("Ctrl+C",), needs="chosen"),
    Entry("copy_picture", "Copy p&icture", "Put a picture of the drawing on the clipboard"),
    Entry("paste", "&Paste", "Put down what was copied", ("Ctrl+V",)),
    Entry(
        "duplicate",
        "&Duplicate",
        "Put another of the chosen parts beside them",
        ("Ctrl+D",),
        "duplicate",
        "chosen",
    ),
    LINE,
    Entry(
        "mirror",
        "&Mirror",
        "Turn the chosen buckets end for end along the run",
        ("Ctrl+M",),
        "mirror",
        "bucket",
    ),
    Entry(
        "flip",
        "&Flip side",
        "Move the chosen buckets to the other side of the drain",
        ("Ctrl+L",),
        "flip",
        "bucket",
    ),
    Entry(
        "repeat",
        "Rep&eat…",
        "Set more of the chosen buckets at a pitch",
        ("Ctrl+R",),
        "repeat",
        "bucket",
    ),
    Entry(
        "align",
        "&Align to pitch",
        "Move the chosen buckets to whole pitches from the capped end",
        ("Ctrl+J",),
        "align",
        "bucket",
    ),
    Entry(
        "spread",
        "Spread e&venly",
        "Space the chosen buckets evenly between the outermost two",
        ("Ctrl+Shift+J",),
        "spread",
        "bucket",
    ),
    Entry(
        "add_support",
        "Add a supp&ort",
        "Set a block stack in the widest gap under the run; Insert does it on the drawing",
    ),
    LINE,
    Entry("delete", "De&lete", "Delete what is chosen", ("Del",), "delete", "chosen"),
    Entry("select_all", "&Select all", "Choose every bucket", ("Ctrl+A",)),
)

VIEW: tuple[Item, ...] = (
    Entry("fit", "&Fit the sheet", "Show the whole drawing", ("Ctrl+0",), "fit"),
    Entry("zoom_in", "Zoom &in", "Show it larger", ("Ctrl++", "Ctrl+="), "zoom_in"),
    Entry("zoom_out", "Zoom &out", "Show it smaller", ("Ctrl+-",), "zoom_out"),
    Entry("grid", "&Grid", "Show or hide the grid", ("Ctrl+G",), "grid", checked=True),
    Entry(
        "water",
        "&Water on the drawing",
        "Show or hide where the water stands and runs",
        ("Ctrl+T",),
        checked=True,
    ),
    Entry(
        "sag",
        "&Sag of the rails",
        "Show or hide how the rails sag after years, drawn larger than it is",
        checked=True,
    ),
    LINE,
    Submenu(
        "look",
        "&Light and dark",
        (
            Entry("theme_light", "&Light", needs="nothing", group="theme"),
            Entry("theme_dark", "&Dark", needs="nothing", group="theme"),
            Entry("theme_system", "&As the system", needs="nothing", group="theme"),
        ),
    ),
    Submenu("panels", "&Panels"),
    Submenu(
        "go",
        "G&o to",
        (
            Entry("go_parts", "&Parts bin", keys=("Ctrl+1",)),
            Entry("go_sheet", "&Sheet", keys=("Ctrl+2",)),
            Entry("go_dimensions", "&Dimensions", keys=("Ctrl+3",)),
            Entry("go_checks", "&Checks", keys=("Ctrl+4",)),
            Entry("go_water", "&Water", keys=("Ctrl+5",)),
            Entry("go_takeoff", "&Take-off", keys=("Ctrl+6",)),
            Entry("go_next", "&Next panel", keys=("F6",)),
            Entry("go_back", "Panel &before", keys=("Shift+F6",)),
        ),
    ),
)

DESIGN: tuple[Item, ...] = (
    Submenu(
        "units",
        "&Units",
        (
            Entry("units_metric", "&Metric (mm)", group="units"),
            Entry("units_imperial", "&Imperial (feet and inches)", group="units"),
        ),
    ),
    Submenu(
        "paper",
        "&Paper",
        (Entry("paper_a4", "&A4", group="paper"), Entry("paper_letter", "&Letter", group="paper")),
    ),
    LINE,
    Entry("notes", "Design &notes and title…", "Name the design and keep notes with it"),
    Entry(
        "measured",
        "&Measured parts…",
        "Put in what you measured on your own parts",
        (),
        "measure",
    ),
)

HELP: tuple[Item, ...] = (
    Entry("how", "&How this works", "A short page", ("F1",), needs="nothing"),
    Entry("cautions", "&Cautions", "What to take care of", needs="nothing"),
    LINE,
    Entry(
        "about",
        "&About Rillwright",
        "Version and licences",
        needs="nothing",
        role=QAction.MenuRole.AboutRole,
    ),
)

MENUS: tuple[tuple[str, tuple[Item, ...]], ...] = (
    ("&File", FILE),
    ("&Edit", EDIT),
    ("&View", VIEW),
    ("&Design", DESIGN),
    ("&Help", HELP),
)

TOOLBAR: tuple[tuple[str, str] | None, ...] = (
    ("open", "Open"),
    ("save", "Save"),
    LINE,
    ("undo", "Undo"),
    ("redo", "Redo"),
    LINE,
    ("flip", "Flip side"),
    ("mirror", "Mirror"),
    ("repeat", "Repeat"),
    ("align", "Align"),
    ("delete", "Delete"),
    LINE,
    ("fit", "Fit"),
    ("zoom_out", "Smaller"),
    ("zoom_in", "Larger"),
    LINE,
    ("export_sheet", "Build sheet"),
)
"""The buttons with the short words under them."""


def entries() -> tuple[Entry, ...]:
    """Every entry of every menu, those of submenus included."""
    found: list[Entry] = []
    for _, items in MENUS:
        for item in items:
            if isinstance(item, Submenu):
                found += item.entries
            elif item is not None:
                found.append(item)
    return tuple(found)


def make_actions(parent: QWidget, do: Mapping[str, Callable[[], object]]) -> dict[str, QAction]:
    """A QAction for every entry, calling `do[name]`; KeyError where an entry has nothing to do."""
    groups: dict[str, QActionGroup] = {}
    made: dict[str, QAction] = {}
    for entry in entries():
        action = QAction(entry.text, parent)
        action.setObjectName(entry.name)
        action.setShortcuts([QKeySequence(keys) for keys in entry.keys])
        action.setMenuRole(entry.role)
        action.setStatusTip(entry.tip)
        plain = entry.text.replace("&", "").rstrip("…")
        keys = f" ({action.shortcut().toString(NATIVE)})" if entry.keys else ""
        action.setToolTip((entry.tip or plain) + keys)
        if entry.group or entry.checked:
            action.setCheckable(True)
        if entry.group:
            groups.setdefault(entry.group, QActionGroup(parent)).addAction(action)
        call = do[entry.name]
        action.triggered.connect(lambda _=False, call=call: call())
        made[entry.name] = action
    return made


NATIVE = QKeySequence.SequenceFormat.NativeText


def fill_menus(bar: QWidget, actions: Mapping[str, QAction]) -> dict[str, QMenu]:
    """Put the menus on a menu bar; returns the submenus by name."""
    submenus: dict[str, QMenu] = {}
    for title, items in MENUS:
        menu = bar.addMenu(title)  # type: ignore[attr-defined]
        for item in items:
            if item is None:
                menu.addSeparator()
            elif isinstance(item, Submenu):
                submenus[item.name] = sub = menu.addMenu(item.text)
                sub.addActions([actions[entry.name] for entry in item.entries])
            else:
                menu.addAction(actions[item.name])
    return submenus


def colour_icons(actions: Mapping[str, QAction]) -> None:
    """Give the actions their icons in the colour of the theme in force."""
    for entry in entries():
        if entry.icon:
            actions[entry.name].setIcon(icon(entry.icon))
