"""A panel at the side of the window: titled, movable, and closed with a button of fair size."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QDockWidget, QHBoxLayout, QLabel, QToolButton, QWidget

from designer.window.icons import icon


class Dock(QDockWidget):
    """A panel. Drag its title to move it; a double click takes it out of the window."""

    def __init__(self, name: str, title: str, parent: QWidget) -> None:
        super().__init__(title, parent)
        self.setObjectName(name)
        self.setAccessibleName(title)
        bar = QWidget()
        bar.setObjectName("dock_title")
        bar.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        line = QHBoxLayout(bar)
        line.setContentsMargins(10, 3, 5, 3)
        words = QLabel(title)
        words.setProperty("tone", "strong")
        self._close = QToolButton()
        self._close.setAutoRaise(True)
        self._close.setIconSize(QSize(16, 16))
        self._close.setFixedSize(24, 24)
        self._close.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._close.setToolTip(f"Hide {title}; View, Panels shows it again")
        self._close.setAccessibleName(f"Hide {title}")
        self._close.clicked.connect(self.close)
        line.addWidget(words, 1)
        line.addWidget(self._close)
        self.setTitleBarWidget(bar)
        self._seen = False
        self.visibilityChanged.connect(self._follow)

    def setWidget(self, widget: QWidget) -> None:
        super().setWidget(widget)
        widget.setEnabled(self._seen)

    def _follow(self, seen: bool) -> None:
        """Qt keeps a panel that stands behind another one shown outside the window, where the Tab
        key would go astray."""
        if self.window().isMinimized():
            return
        self._seen = seen
        policy = Qt.FocusPolicy.TabFocus if seen else Qt.FocusPolicy.NoFocus
        self._close.setFocusPolicy(policy)
        panel = self.widget()
        if panel is not None:
            panel.setEnabled(seen)

    def show_colours(self) -> None:
        """Draw the button in the colours of the theme in force."""
        self._close.setIcon(icon("close"))
