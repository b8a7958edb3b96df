"""A sheet of its own for each test, and a hand and a keyboard to use it with."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, QMimeData, QPointF, Qt
from PySide6.QtGui import (
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QMouseEvent,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from designer.canvas.document import Document
from designer.canvas.sheet import SheetView
from designer.model.design import Design
from designer.sketch import Answers, sketch

NONE = Qt.KeyboardModifier.NoModifier


class Person:
    """Uses a sheet as a person does, by events on its viewport."""

    def __init__(self, sheet: SheetView) -> None:
        self.sheet = sheet
        self.document = sheet.document

    def at(self, pane: str, x: float, y: float) -> QPointF:
        """The place in the viewport of a point of a pane."""
        shift = self.sheet.panes[pane].shift
        return self.sheet.camera.to_viewport(QPointF(x, y + shift))

    def bucket(self, bucket_id: str, pane: str = "plan") -> QPointF:
        """The place of a bucket's middle."""
        _, place = self.document.analysis.places[bucket_id]
        x, y = self.sheet.frame.to_view(place.x, place.y)
        return self.at(pane, x, y if pane == "plan" else place.base + place.part.height / 2)

    def handle(self, key: str) -> QPointF:
        """The place of a handle."""
        found = next(h for h in self.sheet.handles if h.key == key)
        return self.at(found.pane, found.x, found.y)

    def by(self, mm_right: float, mm_up: float) -> QPointF:
        """A movement on the screen."""
        zoom = self.sheet.camera.zoom
        return QPointF(mm_right * zoom, -mm_up * zoom)

    def mouse(
        self,
        kind: QEvent.Type,
        at: QPointF,
        modifiers: Qt.KeyboardModifier = NONE,
        button: Qt.MouseButton = Qt.MouseButton.LeftButton,
    ) -> None:
        """One event of the mouse."""
        held = Qt.MouseButton.NoButton if kind == QEvent.Type.MouseButtonRelease else button
        moved = kind == QEvent.Type.MouseMove
        cause = Qt.MouseButton.NoButton if moved else button
        viewport = self.sheet.viewport()
        event = QMouseEvent(kind, at, viewport.mapToGlobal(at), cause, held, modifiers)
        QApplication.sendEvent(viewport, event)

    def press(self, at: QPointF, modifiers: Qt.KeyboardModifier = NONE, **more: object) -> None:
        """Press the button."""
        self.mouse(QEvent.Type.MouseButtonPress, at, modifiers, **more)

    def move(self, at: QPointF, modifiers: Qt.KeyboardModifier = NONE, **more: object) -> None:
        """Move the mouse with the button held."""
        self.mouse(QEvent.Type.MouseMove, at, modifiers, **more)

    def release(self, at: QPointF, modifiers: Qt.KeyboardModifier = NONE, **more: object) -> None:
        """Let the button go."""
        self.mouse(QEvent.Type.MouseButtonRelease, at, modifiers, **more)

    def click(self, at: QPointF, modifiers: Qt.KeyboardModifier = NONE) -> None:
        """Press and let go."""
        self.press(at, modifiers)
        self.release(at, modifiers)

    def drag(
        self, start: QPointF, by: QPointF, modifiers: Qt.KeyboardModifier = NONE, **more: object
    ) -> None:
        """Press, move in some steps, let go."""
        self.press(start, modifiers, **more)
        for part in (0.1, 0.4, 0.8, 1.0):
            self.move(start + by * part, modifiers, **more)
        self.release(start + by, modifiers, **more)

    def keys(self, *keys: Qt.Key | str, modifiers: Qt.KeyboardModifier = NONE) -> None:
        """Press keys one after the other, or type text."""
        for key in keys:
            if isinstance(key, str):
                QTest.keyClicks(self.sheet, key)
            else:
                QTest.keyClick(self.sheet, key, modifiers)

    def carry(self, kind: str, at: QPointF, drop: bool = True) -> None:
        """Drag a part from the parts bin over the sheet, and drop it or carry it off again."""
        mime = QMimeData()
        mime.setData("application/x-rillwright-part", kind.encode())
        action, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
        viewport, spot = self.sheet.viewport(), at.toPoint()
        QApplication.sendEvent(viewport, QDragEnterEvent(spot, action, mime, left, NONE))
        QApplication.sendEvent(viewport, QDragMoveEvent(spot, action, mime, left, NONE))
        last = QDropEvent(at, action, mime, left, NONE) if drop else QDragLeaveEvent()
        QApplication.sendEvent(viewport, last)

    def steps_back(self) -> int:
        """How many steps can be undone."""
        return len(self.document.history._past)


@pytest.fixture
def person(qtbot) -> Callable[..., Person]:
    """Makes a person before a sheet with a sketched bed, or with a design."""

    def make(
        buckets: int = 6, units: str = "metric", design: Design | None = None, **changes: object
    ) -> Person:
        if design is None:
            design = sketch(Answers(buckets=buckets, units=units))
        sheet = SheetView(Document(replace(design, **changes)))
        qtbot.addWidget(sheet)
        sheet.resize(1200, 800)
        sheet.show()
        sheet.fit()
        return Person(sheet)

    return make
