"""The inspector: the exact numbers of what is selected, each one to be edited in any unit."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QFont, QPalette, QShowEvent
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from app.inspect.page import Page
from app.inspect.pages_design import GeneralPage, RestPage
from app.inspect.pages_parts import (
    SPRING_PAGES,
    ForcePage,
    SliderPage,
    TorquePage,
    WeightPage,
    part_of,
)
from app.inspect.pages_points import LinkPage, PointPage, SpanPage
from app.session import Ref, Session, exists
from app.theme import theme_source
from solver.model import Design, Force

_MARGIN = 10


class Inspector(QScrollArea):
    """Shows one page, chosen by the selection. Pages are made when first needed and kept."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._pages: dict[type[Page], Page] = {}
        self._page: Page | None = None
        self._refs: tuple[Ref, ...] | None = None
        self._dirty = True
        self._build()
        # All that happened in one turn of the event loop makes one refresh.
        self._turn = QTimer(self, singleShot=True, interval=0)
        self._turn.timeout.connect(self.refresh)
        session.calm.follow(self.refresh)
        for signal in (session.pose_changed, session.selection_changed):
            signal.connect(self._later)
        session.document.replaced.connect(self._forget)
        theme_source.changed.connect(self._colour)
        self.refresh()

    @property
    def page(self) -> Page | None:
        """The page shown; None where the selection has no numbers in common."""
        return self._page

    def refresh(self) -> None:
        """Show the present selection and its present numbers."""
        if not self.isVisible():
            self._dirty = True
            return
        self._dirty = False
        refs = self._session.selection
        if refs != self._refs:
            self._choose(refs)
        if self._page is not None:
            self._page.refresh()
            self._show_title(self._page.title(), self._page.subtitle())

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while hidden."""
        super().showEvent(event)
        if self._dirty:
            self.refresh()

    def changeEvent(self, event: QEvent) -> None:
        """Keep the faint words faint in another palette."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "_title"):
            self._colour()

    def _build(self) -> None:
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName("Numbers of the selection")
        self.setMinimumWidth(240)
        self._title = _line(self, bold=True)
        self._subtitle = _line(self)
        self._problem = _line(self)
        self._problem.hide()
        inside = QWidget(self)
        self._column = QVBoxLayout(inside)
        self._column.setContentsMargins(_MARGIN, 8, _MARGIN, _MARGIN)
        self._column.setSpacing(2)
        for label in (self._title, self._subtitle, self._problem):
            self._column.addWidget(label)
        self._column.addSpacing(6)
        self._column.addStretch(1)
        self.setWidget(inside)
        self._colour()

    def _colour(self) -> None:
        theme = theme_source.theme
        for label, colour in ((self._subtitle, theme.faint_ink), (self._problem, theme.bad)):
            palette = label.palette()
            palette.setColor(QPalette.ColorRole.WindowText, colour)
            label.setPalette(palette)

    def _later(self) -> None:
        if not self._turn.isActive():
            self._turn.start()

    def _forget(self) -> None:
        self._refs = None
        self._later()

    def _choose(self, refs: tuple[Ref, ...]) -> None:
        self._say("")
        design = self._session.document.design
        refs = tuple(ref for ref in refs if exists(design, ref))
        kind = _page_kind(design, refs)
        page = None if kind is None else self._page_of(kind)
        if page is not None:
            page.bind(refs)
        if self._page is not None and self._page is not page:
            self._page.hide()
        self._refs, self._page = refs, page
        if page is None:
            self._show_title(f"{len(refs)} things selected", "Select one to see its numbers.")
        else:
            page.refresh()
            page.show()
            self.verticalScrollBar().setValue(0)

    def _page_of(self, kind: type[Page]) -> Page:
        if kind not in self._pages:
            page = kind(self._session, self.widget())
            page.refused.connect(self._say)
            self._column.insertWidget(self._column.count() - 1, page)
            self._pages[kind] = page
        return self._pages[kind]

    def _show_title(self, title: str, subtitle: str) -> None:
        for label, text in ((self._title, title), (self._subtitle, subtitle)):
            if text != label.text():
                label.setText(text)
                label.setVisible(bool(text))

    def _say(self, sentence: str) -> None:
        """Show why an edit could not be made."""
        if sentence == self._problem.text():
            return
        self._problem.setText(sentence)
        self._problem.setVisible(bool(sentence))
        if sentence:
            self._session.message.emit(sentence)
            self.ensureWidgetVisible(self._problem)


_PAGES: dict[str, Callable[[Design, Ref], type[Page]]] = {
    "point": lambda design, ref: PointPage,
    "link": lambda design, ref: LinkPage,
    "slider": lambda design, ref: SliderPage,
    "spring": lambda design, ref: SPRING_PAGES[type(part_of(design, ref))],  # type: ignore[index]
    "weight": lambda design, ref: WeightPage,
    "load": lambda design, ref: (
        ForcePage if isinstance(part_of(design, ref), Force) else TorquePage
    ),
    "rest": lambda design, ref: RestPage,
}


def _page_kind(design: Design, refs: tuple[Ref, ...]) -> type[Page] | None:
    if not refs:
        return GeneralPage
    if len(refs) == 1:
        return _PAGES[refs[0].kind](design, refs[0])
    if len(refs) == 2 and all(ref.kind == "point" for ref in refs):
        return SpanPage
    return None


def _line(parent: QWidget, bold: bool = False) -> QLabel:
    label = QLabel(parent)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    if bold:
        font = QFont(label.font())
        font.setBold(True)
        font.setPointSizeF(font.pointSizeF() * 1.1)
        label.setFont(font)
    return label
