"""The questions and sentences put to the person, one function each."""

from pathlib import Path
from typing import TYPE_CHECKING, Literal

from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from designer.model.file import SUFFIX
from designer.model.pdf_file import PDF_SUFFIX

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

TITLE = "Rillwright"
_DESIGNS = f"Rillwright designs (*{SUFFIX})"
_OPENED = f"Designs and build sheets (*{SUFFIX} *{PDF_SUFFIX})"


def tell(parent: QWidget | None, sentence: str) -> None:
    """Say one sentence and wait until it was read."""
    QMessageBox(
        QMessageBox.Icon.Warning, TITLE, sentence, QMessageBox.StandardButton.Ok, parent
    ).exec()


def ask_unsaved(parent: QWidget, name: str) -> Literal["save", "drop", "stay"]:
    """What to do with unsaved changes before they would be lost."""
    box = QMessageBox(
        QMessageBox.Icon.Question, TITLE, f"Save the changes to “{name}”?", parent=parent
    )
    box.setInformativeText("What you do not save is lost.")
    save = box.addButton("&Save", QMessageBox.ButtonRole.AcceptRole)
    drop = box.addButton("&Don’t save", QMessageBox.ButtonRole.DestructiveRole)
    stay = box.addButton("&Go back", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(save)
    box.setEscapeButton(stay)
    box.exec()
    if box.clickedButton() is save:
        return "save"
    return "drop" if box.clickedButton() is drop else "stay"


def ask_changed_outside(parent: QWidget, name: str) -> Literal["over", "as", "stay"]:
    """What to do when another program changed the file since it was opened."""
    box = QMessageBox(
        QMessageBox.Icon.Warning,
        TITLE,
        f"Another program changed “{name}” since you opened it.",
        parent=parent,
    )
    box.setInformativeText("Save yours under another name to keep both.")
    other = box.addButton("Save &as…", QMessageBox.ButtonRole.AcceptRole)
    over = box.addButton("Save &over it", QMessageBox.ButtonRole.DestructiveRole)
    stay = box.addButton("&Go back", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(other)
    box.setEscapeButton(stay)
    box.exec()
    if box.clickedButton() is other:
        return "as"
    return "over" if box.clickedButton() is over else "stay"


def ask_open(parent: QWidget, folder: Path) -> Path | None:
    """Which design to open; None when the person thinks better of it."""
    name, _ = QFileDialog.getOpenFileName(
        parent, "Open a design", str(folder), f"{_OPENED};;All files (*)"
    )
    return Path(name) if name else None


def ask_save(parent: QWidget, proposed: Path) -> Path | None:
    """Where to save the design; None when the person thinks better of it."""
    dialog = QFileDialog(parent, "Save the design as", str(proposed.parent), _DESIGNS)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    # The suffix is added before the dialog asks whether to replace a file of that name.
    dialog.setDefaultSuffix(SUFFIX.lstrip("."))
    dialog.selectFile(proposed.name)
    if not dialog.exec():
        return None
    return Path(dialog.selectedFiles()[0])


def ask_table(parent: QWidget, folder: Path) -> Path | None:
    """Which price book to open; None when the person thinks better of it."""
    name, _ = QFileDialog.getOpenFileName(
        parent, "Open a price book", str(folder), "Tables (*.csv *.txt);;All files (*)"
    )
    return Path(name) if name else None


def ask_export(parent: QWidget, proposed: Path, kinds: str) -> Path | None:
    """Where to put an exported file of `kinds` ("PDF (*.pdf)"); None for nowhere."""
    name, _ = QFileDialog.getSaveFileName(
        parent, "Choose a file", str(proposed), kinds, "",
        QFileDialog.Option.DontConfirmOverwrite,
    )  # fmt: skip
    return Path(name) if name else None


def ask_replace(parent: QWidget, name: str) -> bool:
    """Whether to write over a file that is there already."""
    box = QMessageBox(
        QMessageBox.Icon.Question, TITLE, f"“{name}” is there already.", parent=parent
    )
    replace = box.addButton("&Replace it", QMessageBox.ButtonRole.AcceptRole)
    stay = box.addButton("&Go back", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(stay)
    box.setEscapeButton(stay)
    box.exec()
    return box.clickedButton() is replace


def ask_printer(parent: QWidget, printer: "QPrinter", pages: int) -> bool:
    """Which printer and which of so many pages, put into `printer`; False for not at all."""
    from PySide6.QtPrintSupport import QAbstractPrintDialog, QPrintDialog

    dialog = QPrintDialog(printer, parent)
    dialog.setWindowTitle("Print")
    for option in ("PrintPageRange", "PrintCurrentPage", "PrintToFile", "PrintCollateCopies"):
        dialog.setOption(getattr(QAbstractPrintDialog.PrintDialogOption, option))
    dialog.setMinMax(1, pages)
    done = bool(dialog.exec())
    dialog.deleteLater()
    return done


def ask_other_paper(parent: QWidget, chosen: str, ours: str) -> bool:
    """Whether to print on the paper of the pages, where the printer was set to another one."""
    box = QMessageBox(
        QMessageBox.Icon.Warning,
        TITLE,
        f"The pages are {ours}, and the printer was set to {chosen}.",
        parent=parent,
    )
    box.setInformativeText(
        "They are printed at their true size, never fitted, so on smaller paper their edges are "
        "cut off. To use other paper, go back and choose it beside the pages."
    )
    go_on = box.addButton(f"&Print on {ours}", QMessageBox.ButtonRole.AcceptRole)
    stay = box.addButton("&Go back", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(stay)
    box.setEscapeButton(stay)
    box.exec()
    return box.clickedButton() is go_on
