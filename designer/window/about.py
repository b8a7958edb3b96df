"""The pages of the Help menu: how this works, cautions, about."""

from collections.abc import Callable, Mapping
from html import escape

from PySide6.QtCore import Qt, qVersion
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget

from designer import __version__

_HOW = """
<p>You draw a bed, Rillwright works out the rest: where each hole goes, how high the stand is, how
thick each shim is, and how long each tail pipe must be.</p>
<h3>Draw</h3>
<p>Start from the questions, or drag parts from the <b>Parts bin</b> onto the sheet. Drag a bucket
along its drain, or press the arrow keys for small steps. The plan is above, the elevation below it,
and both move together. <b>While you drag, type a number</b> and press Enter: it goes there exactly.
Hold <b>Alt</b> to move freely, without snapping.</p>
<p>Without a mouse: Tab walks through the parts, the arrows move them, and Enter types a distance.
<b>F6</b> goes from panel to panel, and <b>Ctrl+1</b> to <b>Ctrl+6</b> straight to Parts bin, sheet,
Dimensions, Checks, Water and Take-off.</p>
<h3>Put in numbers</h3>
<p>Choose a part and type its sizes under <b>Dimensions</b>. Write lengths as you say them:
<b>1.03 m</b>, <b>85 cm</b>, <b>3' 4 1/2"</b>, <b>40.5 in</b>. Makers differ, so measure your own
buckets under <b>Design, Measured parts</b>.</p>
<h3>Check</h3>
<p><b>Checks</b> says what must be mended before you buy or drill, and offers a remedy where
there is one. <b>Point at a remedy</b> and the sheet shows it on trial, with the counts before and
after; move away and it is gone; press it and it is done. Every step can be undone.</p>
<h3>Print and build</h3>
<p><b>File, Export build sheet</b> makes one PDF with drawings, lists and full-scale drill
templates. Print it at <b>100 %</b>, measure the check bar on the page, then tape the templates on
and drill. Test for leaks with plain water before you fill and plant.</p>
"""

_ABOUT = """
<p><b>Rillwright {version}</b><br>Design, check and build recirculating bucket beds.</p>
<p>It helps you plan with care. It does not replace local codes, the makers' instructions or the
judgement of licensed people; see <b>Help, Cautions</b>.</p>
<h3>Licences</h3>
<p>Rillwright is free under the MIT licence, which also says that it comes without warranty. Its
letters are Noto Sans, under the SIL Open Font License 1.1. It is built with Qt {qt} and PySide6
(LGPL 3), Shapely and GEOS (BSD 3-clause and LGPL 2.1), ReportLab, NumPy and SciPy (BSD 3-clause),
Pydantic and fluids (MIT), pypdfium2 and PDFium (BSD 3-clause and Apache 2.0).</p>
"""


def cautions_page() -> str:
    """The cautions of the build sheet as a page."""
    from designer.sheet.cautions import load_cautions

    lead, cautions = load_cautions()
    parts = [f"<p><b>{escape(lead)}</b></p>"]
    for caution in cautions:
        parts.append(f"<h3>{escape(caution.title)}</h3><p>{escape(caution.text)}</p>")
        parts.append(f"<p><i>Source: {escape(caution.source)}</i></p>")
    return "\n".join(parts)


PAGES: Mapping[str, tuple[str, Callable[[], str]]] = {
    "how": ("How this works", lambda: _HOW),
    "cautions": ("Cautions", cautions_page),
    "about": ("About Rillwright", lambda: _ABOUT.format(version=__version__, qt=qVersion())),
}


def show_page(name: str, parent: QWidget) -> QDialog:
    """Open a page of the Help menu beside the window; it may stay open."""
    title, text = PAGES[name]
    dialog = QDialog(parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.setWindowTitle(title)
    dialog.resize(520, 360 if name == "about" else 560)
    page = QTextBrowser()
    page.setAccessibleName(title)
    page.document().setDefaultStyleSheet("h3 { margin-top: 12px; } p { margin-bottom: 6px; }")
    page.document().setDocumentMargin(14)
    page.setHtml(text())
    buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
    buttons.rejected.connect(dialog.reject)
    column = QVBoxLayout(dialog)
    column.addWidget(page)
    column.addWidget(buttons)
    dialog.show()
    return dialog
