"""Light and dark look of the window's widgets, made from the colours of the drawing.

Texts keep a contrast of 4.5 to their ground, and edges of fields, focus marks and icons one of 3
(WCAG 2.2, success criteria 1.4.3, 1.4.11 and 2.4.11).
"""

from typing import Literal

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette
from PySide6.QtWidgets import QApplication

from designer.drawing.styles import DARK, LIGHT, Colours
from designer.resources import resource_path

Mode = Literal["system", "light", "dark"]
MODES: tuple[Mode, ...] = ("system", "light", "dark")
SMALLEST_TEXT = 10.0
"""Points; below it the system's size is taken up to this."""


class Theme(QObject):
    """The look in force. `mode` is what the person chose; `colours` follow from it."""

    changed = Signal()

    def __init__(self, app: QApplication, mode: Mode = "system") -> None:
        super().__init__(app)
        self._app = app
        self.mode: Mode = mode
        self.colours: Colours = LIGHT
        app.setStyle("Fusion")
        app.styleHints().colorSchemeChanged.connect(self._follow)
        self.choose(mode)

    @property
    def is_dark(self) -> bool:
        """Whether the dark colours are in force."""
        return self.colours is DARK

    def choose(self, mode: Mode) -> None:
        """Take a look: that of the system, light or dark."""
        self.mode = mode
        scheme = {"light": Qt.ColorScheme.Light, "dark": Qt.ColorScheme.Dark}.get(
            mode, Qt.ColorScheme.Unknown
        )
        self._app.styleHints().setColorScheme(scheme)
        self._follow()

    def _follow(self) -> None:
        dark = self.mode == "dark" or (
            self.mode == "system" and self._app.styleHints().colorScheme() == Qt.ColorScheme.Dark
        )
        self.colours = DARK if dark else LIGHT
        self._app.setPalette(palette_of(self.colours))
        self._app.setStyleSheet(style_sheet(self.colours, self._app.font().pointSizeF()))
        self.changed.emit()


def use_fonts(app: QApplication) -> None:
    """Our fonts for drawing, and for the window at the size the system asks for."""
    for file in ("NotoSans-Regular.ttf", "NotoSans-Bold.ttf"):
        QFontDatabase.addApplicationFont(str(resource_path("fonts", file)))
    system = app.font()
    font = QFont(system)
    # The system's own family stands in for letters that ours lacks.
    font.setFamilies(["Noto Sans", system.family()])
    if font.pointSizeF() > 0:
        font.setPointSizeF(max(font.pointSizeF(), SMALLEST_TEXT))
    app.setFont(font)


def mix(a: str, b: str, share: float) -> str:
    """The colour `share` of the way from `a` to `b`, "#rrggbb"."""
    first, second = _parts(a), _parts(b)
    parts = (round(x + (y - x) * share) for x, y in zip(first, second, strict=True))
    return QColor(*parts).name()


def contrast(a: str, b: str) -> float:
    """The contrast of two colours after WCAG 2.2, from 1 to 21."""
    lighter, darker = sorted((_luminance(a), _luminance(b)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    parts = (part / 255 for part in _parts(colour))
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _parts(colour: str) -> tuple[int, int, int]:
    shown = QColor(colour)
    return shown.red(), shown.green(), shown.blue()


def ground_of(colours: Colours) -> str:
    """The window's ground, a step from that of the drawing sheet."""
    return mix(colours["sheet"], colours["ink"], 0.05)


def edge_of(colours: Colours) -> str:
    """Edges of fields and buttons."""
    return mix(colours["sheet"], colours["ink"], 0.54)


def palette_of(colours: Colours) -> QPalette:
    """The widgets' palette."""
    ground, sheet, ink = ground_of(colours), colours["sheet"], colours["ink"]
    roles = {
        QPalette.ColorRole.Window: ground,
        QPalette.ColorRole.WindowText: ink,
        QPalette.ColorRole.Base: sheet,
        QPalette.ColorRole.AlternateBase: mix(sheet, ink, 0.04),
        QPalette.ColorRole.Text: ink,
        QPalette.ColorRole.Button: mix(sheet, ink, 0.03),
        QPalette.ColorRole.ButtonText: ink,
        QPalette.ColorRole.ToolTipBase: sheet,
        QPalette.ColorRole.ToolTipText: ink,
        QPalette.ColorRole.PlaceholderText: colours["soft"],
        QPalette.ColorRole.Highlight: colours["accent"],
        QPalette.ColorRole.HighlightedText: sheet,
        QPalette.ColorRole.Accent: colours["accent"],
        QPalette.ColorRole.Link: colours["accent"],
        QPalette.ColorRole.LinkVisited: colours["axis"],
        QPalette.ColorRole.BrightText: colours["must"],
        QPalette.ColorRole.Light: mix(sheet, ink, 0.02),
        QPalette.ColorRole.Midlight: mix(sheet, ink, 0.10),
        QPalette.ColorRole.Mid: mix(sheet, ink, 0.25),
        QPalette.ColorRole.Dark: mix(sheet, ink, 0.45),
        QPalette.ColorRole.Shadow: mix(sheet, "#000000", 0.7),
    }
    palette = QPalette()
    for role, colour in roles.items():
        palette.setColor(role, QColor(colour))
    faint = QColor(mix(ground, ink, 0.45))
    for role in (
        QPalette.ColorRole.WindowText,
        QPalette.ColorRole.Text,
        QPalette.ColorRole.ButtonText,
    ):
        palette.setColor(QPalette.ColorGroup.Disabled, role, faint)
    return palette


def style_sheet(colours: Colours, points: float) -> str:
    """Spacing, edges and focus marks of the widgets, with targets of at least 24 px; `points` is
    the size of plain text, from which the headings take theirs."""
    sheet, ink, accent = colours["sheet"], colours["ink"], colours["accent"]
    ground, edge = ground_of(colours), edge_of(colours)
    line = mix(sheet, ink, 0.16)
    hover = mix(sheet, ink, 0.09)
    pressed = mix(sheet, ink, 0.16)
    faint = mix(ground, ink, 0.45)
    down = resource_path("icons", "arrow_down.svg").as_posix()
    up = resource_path("icons", "arrow_up.svg").as_posix()
    tick_name = "tick_on_dark" if colours is DARK else "tick_on_light"
    tick = resource_path("icons", f"{tick_name}.svg").as_posix()
    return f"""
QMainWindow::separator {{ background: {line}; width: 4px; height: 4px; }}
QMainWindow::separator:hover {{ background: {accent}; }}
QToolTip {{ background: {sheet}; color: {ink}; border: 1px solid {edge}; padding: 4px; }}
QMenuBar {{ background: {ground}; padding: 1px 4px; }}
QMenuBar::item {{ padding: 5px 10px; border-radius: 4px; }}
QMenuBar::item:selected {{ background: {hover}; }}
QMenu {{ background: {sheet}; border: 1px solid {line}; padding: 4px; }}
QMenu::item {{ padding: 5px 28px 5px 10px; border-radius: 4px; min-height: 18px; }}
QMenu::item:selected {{ background: {accent}; color: {sheet}; }}
QMenu::item:disabled {{ color: {faint}; background: transparent; }}
QMenu::separator {{ height: 1px; background: {line}; margin: 4px 8px; }}
QMenu::icon {{ padding-left: 8px; }}
QToolBar {{ background: {ground}; border: 0; border-bottom: 1px solid {line};
    spacing: 1px; padding: 3px 6px; }}
QToolBar QToolButton {{ border: 2px solid transparent; border-radius: 6px; padding: 3px 6px;
    min-width: 36px; }}
QToolBar QToolButton:hover {{ background: {hover}; }}
QToolBar QToolButton:pressed, QToolBar QToolButton:checked {{ background: {pressed}; }}
QToolBar QToolButton:focus {{ border-color: {accent}; }}
QToolBar::separator {{ background: {line}; width: 1px; margin: 6px 5px; }}
QWidget#dock_title {{ background: {ground}; border-bottom: 1px solid {line}; }}
QWidget#dock_title QToolButton {{ border: 2px solid transparent; border-radius: 5px; }}
QWidget#dock_title QToolButton:hover {{ background: {hover}; }}
QWidget#dock_title QToolButton:focus {{ border-color: {accent}; }}
QStatusBar {{ background: {ground}; border-top: 1px solid {line}; }}
QStatusBar::item {{ border: 0; }}
QPushButton {{ background: {mix(sheet, ink, 0.03)}; border: 1px solid {edge}; border-radius: 6px;
    padding: 5px 14px; min-height: 18px; }}
QPushButton:hover {{ background: {hover}; }}
QPushButton:pressed {{ background: {pressed}; }}
QPushButton:disabled {{ color: {faint}; border-color: {line}; }}
QPushButton:focus {{ border: 2px solid {accent}; padding: 4px 13px; }}
QPushButton:default {{ background: {accent}; color: {sheet}; border-color: {accent}; }}
QPushButton:default:hover {{ background: {mix(accent, ink, 0.15)}; }}
QPushButton:default:focus {{ border: 2px solid {ink}; }}
QPushButton:default:disabled {{ background: {line}; color: {faint}; border-color: {line}; }}
QLineEdit, QSpinBox, QDoubleSpinBox, QComboBox, QPlainTextEdit, QTextEdit {{ background: {sheet};
    border: 1px solid {edge}; border-radius: 5px; padding: 3px 6px; min-height: 20px;
    selection-background-color: {accent}; selection-color: {sheet}; }}
QLineEdit:focus, QSpinBox:focus, QDoubleSpinBox:focus, QComboBox:focus, QPlainTextEdit:focus,
QTextEdit:focus {{ border: 2px solid {accent}; padding: 2px 5px; }}
QLineEdit[refused="true"] {{ border: 2px solid {colours["must"]}; padding: 2px 5px; }}
QLineEdit:disabled, QSpinBox:disabled, QComboBox:disabled {{ color: {faint};
    background: {ground}; border-color: {line}; }}
QComboBox::drop-down {{ border: 0; width: 24px; }}
QComboBox::down-arrow {{ image: url("{down}"); width: 18px; height: 18px; }}
QAbstractSpinBox {{ padding-right: 24px; }}
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button {{ border: 0; width: 24px; }}
QAbstractSpinBox::up-arrow {{ image: url("{up}"); width: 14px; height: 14px; }}
QAbstractSpinBox::down-arrow {{ image: url("{down}"); width: 14px; height: 14px; }}
QComboBox {{ combobox-popup: 0; }}
QComboBox QAbstractItemView {{ background: {sheet}; border: 1px solid {edge}; border-radius: 0;
    padding: 0; outline: 0; selection-background-color: {accent}; selection-color: {sheet}; }}
QComboBox QAbstractItemView::item {{ min-height: 24px; padding: 0 6px; }}
QRadioButton, QCheckBox {{ min-height: 24px; spacing: 7px; padding: 0 3px;
    border: 2px solid transparent; border-radius: 5px; }}
QRadioButton:focus, QCheckBox:focus {{ border-color: {accent}; }}
QCheckBox::indicator {{ width: 16px; height: 16px; border: 1px solid {edge};
    border-radius: 3px; background: {sheet}; }}
QCheckBox::indicator:checked {{ image: url("{tick}"); }}
QCheckBox::indicator:indeterminate {{ background: {mix(sheet, accent, 0.45)}; }}
QCheckBox::indicator:disabled {{ border-color: {line}; }}
QSlider::groove:horizontal {{ height: 4px; border-radius: 2px; background: {edge}; }}
QSlider::handle:horizontal {{ width: 16px; height: 16px; margin: -7px 0; border-radius: 9px;
    border: 1px solid {sheet}; background: {accent}; }}
QSlider::handle:horizontal:disabled {{ background: {faint}; }}
QSlider {{ border: 2px solid transparent; border-radius: 5px; }}
QSlider:focus {{ border-color: {accent}; }}
QListView, QTreeView, QTableView {{ background: {sheet}; border: 1px solid {line};
    border-radius: 4px; }}
QDialogButtonBox {{ dialogbuttonbox-buttons-have-icons: 0; }}
QProgressBar {{ background: {sheet}; border: 1px solid {edge}; border-radius: 5px;
    min-height: 18px; text-align: center; }}
QProgressBar::chunk {{ background: {mix(sheet, accent, 0.45)}; border-radius: 4px; }}
QFrame[card="true"] {{ background: {sheet}; border: 1px solid {line}; border-radius: 10px; }}
QFrame[card="true"] QRadioButton, QFrame[card="true"] QLabel {{ background: transparent; }}
QLabel[tone="title"] {{ font-size: {1.7 * points:.1f}pt; font-weight: bold; }}
QLabel[tone="heading"] {{ font-size: {1.25 * points:.1f}pt; font-weight: bold; }}
QLabel[tone="strong"] {{ font-weight: bold; }}
QLabel[tone="soft"] {{ color: {colours["soft"]}; }}
QLabel[tone="refused"] {{ color: {colours["must"]}; }}
QPushButton[row="true"] {{ background: transparent; border: 2px solid transparent;
    border-radius: 6px; padding: 5px 8px; text-align: left; }}
QPushButton[row="true"]:hover {{ background: {hover}; }}
QPushButton[row="true"]:focus {{ border-color: {accent}; }}
QToolButton#section {{ background: {mix(sheet, ink, 0.06)}; border: 2px solid transparent;
    border-radius: 5px; padding: 2px 6px; text-align: left; }}
QToolButton#section:hover {{ background: {hover}; }}
QToolButton#section:focus {{ border-color: {accent}; }}
QTabBar::scroller {{ width: 48px; }}
QTabBar::tab:focus {{ border: 2px solid {accent}; border-radius: 4px; }}
QStatusBar QToolButton {{ border: 2px solid transparent; border-radius: 5px; padding: 1px 6px;
    min-height: 22px; }}
QStatusBar QToolButton[popupMode="2"] {{ padding-right: 20px; }}
QStatusBar QToolButton::menu-indicator {{ image: url("{down}"); width: 14px; height: 14px;
    subcontrol-position: right center; right: 4px; }}
QStatusBar QToolButton:hover {{ background: {hover}; }}
QStatusBar QToolButton:focus {{ border-color: {accent}; }}
"""
