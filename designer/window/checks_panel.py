"""The Checks panel: what must be fixed, what to look at again, what is good, and the remedies."""

from typing import Any

from PySide6.QtCore import (
    QElapsedTimer,
    QItemSelectionModel,
    QModelIndex,
    Qt,
    QTimer,
    Signal,
)
from PySide6.QtGui import QHideEvent, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QScrollArea,
    QSplitter,
    QTreeView,
    QVBoxLayout,
    QWidget,
)

from designer.canvas.document import Document
from designer.checks.finding import STATE_WORDS, STATES, Finding, Remedy
from designer.model import edits
from designer.model.design import Design
from designer.window.accept_dialog import AcceptDialog
from designer.window.finding_card import FindingCard
from designer.window.findings_model import FindingsModel, Index, waiting_for_water
from designer.window.tints import state_icon
from designer.window.two_line_delegate import TwoLineDelegate

PAUSE_MS = 100
"""Between two updates while a drag runs."""
SYMBOL = 20
LEAST_ROWS = 6
"""Lines of text that the list of findings keeps beside a card."""


class FindingsTree(QTreeView):
    """The tree of findings; Enter goes to the thing that the current row is about."""

    chosen = Signal(QModelIndex)

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Checks")
        self.setHeaderHidden(True)
        self.setIndentation(14)
        self.setExpandsOnDoubleClick(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setItemDelegate(TwoLineDelegate(self, SYMBOL))
        self.clicked.connect(self.chosen)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.chosen.emit(self.currentIndex())
            return
        super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.scheduleDelayedItemsLayout()  # the rows wrap anew


class ChecksPanel(QWidget):
    """Follows the document's findings. A remedy that is pointed at is shown as a draft, and one
    that is pressed is one undo step."""

    zoom_to = Signal(tuple, str)
    """Ids of the things to bring into view, and where to look at them: "plan" or "elevation"."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self.model = FindingsModel(self._name, self._symbol, self)
        self.tree = FindingsTree()
        self.tree.setModel(self.model)
        self.card = FindingCard()
        self._tried: Design | None = None
        self._carded: tuple[Any, ...] = ()
        self._since = QElapsedTimer()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._render)
        self._lay_out()
        self.setFocusProxy(self.tree)
        self.tree.chosen.connect(self._go_to)
        self.tree.selectionModel().currentChanged.connect(self._show_card)
        self.card.tried.connect(self._try)
        self.card.left.connect(self._stop_trying)
        self.card.done.connect(self._do)
        self.card.accept_asked.connect(self._accept)
        self.card.take_back_asked.connect(self._take_back)
        document.changed.connect(self._follow)
        self._render()
        for state in STATES[:2]:
            self.tree.expand(self.model.find((state,)))

    def _lay_out(self) -> None:
        self._scroll = QScrollArea()
        self._scroll.setWidget(self.card)
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.hide()
        self._splitter = splitter = QSplitter(Qt.Orientation.Vertical, self)
        splitter.addWidget(self.tree)
        splitter.addWidget(self._scroll)
        splitter.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 4, 4, 4)
        column.addWidget(splitter)

    # --- following the document ------------------------------------------------------------------

    def _follow(self) -> None:
        """Render now, or a little later when the last time was only just now."""
        if self._tried is not None:
            if self.document.design is self._tried:
                self.card.say_trying(self._trial())  # its water may have come
                return
            self._tried = None  # someone else dropped the draft
        if self._timer.isActive():
            return
        waited = self._since.elapsed() if self._since.isValid() else PAUSE_MS
        if waited >= PAUSE_MS:
            self._render()
        else:
            self._timer.start(int(PAUSE_MS - waited))

    def _render(self) -> None:
        if self._tried is not None:
            return
        self._since.start()
        spot = self.model.spot(self.tree.currentIndex())
        opened = self._opened()
        if self.model.show_findings(self.document.judged.findings):
            for key in opened:
                self.tree.expand(self.model.find(key))
            if spot is not None:
                self._make_current(spot.key)
        self._show_card()

    def _opened(self) -> list[tuple[Any, ...]]:
        keys = []
        for g in range(self.model.rowCount()):
            group = self.model.index(g, 0)
            rows = (self.model.index(row, 0, group) for row in range(self.model.rowCount(group)))
            for index in (group, *rows):
                spot = self.model.spot(index)
                if spot is not None and self.tree.isExpanded(index):
                    keys.append(spot.key)
        return keys

    def _make_current(self, key: tuple[Any, ...]) -> None:
        """Go back to what was current; where that is mended, to what its rule says now."""
        index = self.model.find(key)
        if not index.isValid() and len(key) > 1:
            index = self.model.find(key[:2])
        if not index.isValid():
            index = self.model.find_rule(key[0])
        # Scrolling to it would open a group that the person keeps closed.
        self.tree.setAutoScroll(False)
        self.tree.selectionModel().setCurrentIndex(
            index, QItemSelectionModel.SelectionFlag.ClearAndSelect
        )
        self.tree.setAutoScroll(True)

    def _show_card(self, *_: object) -> None:
        if self._tried is not None:
            self._stop_trying()
        spot = self.model.spot(self.tree.currentIndex())
        if spot is None or spot.finding is None:
            self._scroll.hide()
            return
        another = self._scroll.isHidden() or self._carded != spot.key
        self._carded = spot.key
        self.card.show_finding(spot.finding, spot.case, self._name)
        self._scroll.show()
        if another:
            self._scroll.verticalScrollBar().setValue(0)
            # Once the layout knows how high the words and buttons are.
            QTimer.singleShot(0, self, self._make_room)

    def _make_room(self) -> None:
        """Let the card be seen down to its remedies, as far as the list keeps some rows."""
        high = self._splitter.height()
        wanted = self.card.height_to_remedies(self._scroll.viewport().width())
        most = high - max(LEAST_ROWS * self.fontMetrics().lineSpacing(), int(0.3 * high))
        if self._scroll.height() < min(wanted, most):
            self._splitter.setSizes([high - min(wanted, most), min(wanted, most)])

    def _name(self, subject: str) -> str:
        return self.document.analysis.subject_name(subject)

    def _symbol(self, state: Any) -> Any:
        return state_icon(state, self.palette())

    # --- what the person does ---------------------------------------------------------------------

    def _go_to(self, index: Index) -> None:
        spot = self.model.spot(index)
        if spot is None:
            return
        if spot.finding is None:
            self.tree.setExpanded(index, not self.tree.isExpanded(index))
            return
        self.document.select(spot.subjects)
        self.zoom_to.emit(spot.subjects, spot.finding.view)

    def _try(self, remedy: Remedy) -> None:
        draft = remedy.apply(self.document.committed)
        if draft == self._tried:
            return
        self._tried = draft
        self.document.try_out(draft)
        self.card.say_trying(self._trial())

    def _trial(self) -> str:
        now, then = self.document.judged, self.document.analysis
        if waiting_for_water(now.findings) or waiting_for_water(then.findings):
            return "On trial: water and stand are being worked out"
        changes = [
            f"{STATE_WORDS[state]} {now.counts[state]} → {then.counts[state]}"
            for state in STATES[:2]
            if now.counts[state] != then.counts[state]
        ]
        return f"On trial: {', '.join(changes)}" if changes else "On trial: see the drawing"

    def _stop_trying(self) -> None:
        tried, self._tried = self._tried, None
        if tried is None:
            return
        self.card.say_trying("")
        if self.document.design is tried:
            self.document.cancel()

    def _do(self, remedy: Remedy) -> None:
        done = remedy.apply(self.document.committed)
        if done == self._tried:
            done = self._tried  # with all that was worked out for it already
        self._tried = None
        self.tree.setFocus(Qt.FocusReason.OtherFocusReason)
        self.document.commit(done, remedy.label)
        self._timer.stop()
        self._render()

    def _accept(self) -> None:
        finding = self.card.finding
        if finding is not None:
            dialog = AcceptDialog(finding, self)
            dialog.given.connect(lambda reason: self._set_reason(finding, reason))
            dialog.open()

    def _take_back(self) -> None:
        if self.card.finding is not None:
            self._set_reason(self.card.finding, "")

    def _set_reason(self, finding: Finding, reason: str) -> None:
        step = f"Accept “{finding.title}”" if reason else f"Take back “{finding.title}”"
        self.document.apply(lambda design: edits.accept(design, *finding.key, reason), step)
        self._timer.stop()
        self._render()

    # --- events ---------------------------------------------------------------------------------

    def hideEvent(self, event: QHideEvent) -> None:
        self._stop_trying()
        super().hideEvent(event)
