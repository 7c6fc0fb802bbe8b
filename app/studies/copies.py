"""The panel with what becomes of copies: how many hold, and which tolerance spreads a reading."""

from __future__ import annotations

import math

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QScrollArea,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app import study_words as words
from app.session import Ref, Session
from app.studies.bar_list import Bar, BarList, show_all_rows
from app.studies.study_panel import StudyPanel
from app.tolerance_words import holes_alone
from solver import units
from solver.model import Design
from solver.readings import catalogue
from solver.spread import LimitSpread, Spread
from solver.spreadable import hole_label
from solver.wording import capital

_LIMIT, _HOLD, _WORST = range(3)
_HEAD_TIPS = (
    "Click a limit to see below what spreads its reading.",
    "How many of the copies hold it.",
    f"With {words.CORNER}. The share of copies is what counts.",
)
_WAITING = "Making copies…"
_LEAST = 0.005
"""Shares of the spread below this are not worth a row."""
_MOST = 2
"""So many of what spreads a reading are named in the sentence on it."""


class CopiesPanel(StudyPanel):
    """How many of many copies hold each limit when all is off by its tolerance."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "spread", "The reading whose spread is looked into.", parent)
        self._shown: list[tuple[str, ...]] = []
        self.head = QLabel(_WAITING, self)
        self.range = QLabel(self)
        self.note = QLabel(self)
        self.limits = QTreeWidget(self)
        self.bars = BarList("What spreads the reading", ("Spread comes from", "Share"), self)
        self.bands = QCheckBox("Bands behind the curves", self)
        self.tolerances = QPushButton("&Tolerances…", self)
        self._build()
        self._lay_out()
        self.start(self.note)

    def _build(self) -> None:
        for label in (self.head, self.range, self.note):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        font = self.head.font()
        font.setBold(True)
        self.head.setFont(font)
        table = self.limits
        table.setAccessibleName("Copies that hold each limit")
        table.setHeaderLabels(["Limit", "Copies", "All at worst"])
        for column, tip in enumerate(_HEAD_TIPS):
            table.headerItem().setToolTip(column, tip)
        table.setRootIsDecorated(False)
        table.setAllColumnsShowFocus(True)
        table.setFrameShape(QTreeWidget.Shape.NoFrame)
        table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        header = table.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(_LIMIT, QHeaderView.ResizeMode.Stretch)
        for column in (_HOLD, _WORST):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        table.itemClicked.connect(self._look_into)
        show_all_rows(table)
        self.bars.setToolTip("Double-click a line to select its part in the sketch.")
        self.bars.itemActivated.connect(self._select)
        self.bars.header().sectionResized.connect(lambda: show_all_rows(self.bars))
        self.bands.setToolTip(
            "Draw where the curves of 90 of 100 copies run, behind the curves of the design."
        )
        self.bands.toggled.connect(lambda on: self._findings.switch("bands", on))
        self.tolerances.setToolTip("Say what copies may be off by: holes, springs, friction …")
        self.tolerances.clicked.connect(self._edit)

    def _lay_out(self) -> None:
        line = self.choice_line("Spread of")
        page = QWidget(self)
        inside = QVBoxLayout(page)
        inside.setContentsMargins(8, 6, 8, 6)
        inside.setSpacing(5)
        # A low panel shows what is asked first: how many hold, and which limit is in want.
        for part in (self.head, self.limits, self.note, line, self.range, self.bars):
            if isinstance(part, QHBoxLayout):
                inside.addLayout(part)
            else:
                inside.addWidget(part)
        inside.addStretch(1)
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(page)
        foot = QHBoxLayout()
        foot.setContentsMargins(8, 0, 8, 6)
        foot.addWidget(self.bands, 1)
        foot.addWidget(self.tolerances)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(area, 1)
        column.addLayout(foot)

    def show_findings(self) -> None:
        """Show what is known of the copies."""
        self.bands.setChecked(self._findings.is_on("bands"))
        spread = self._findings.spread
        if spread is None:
            self._say(self.problem(_WAITING), "", "")
            self._show_rows([])
            self.bars.show_bars([])
            show_all_rows(self.bars)
            return
        head, note = _told(spread)
        if alone := holes_alone(self._session.document.design, self._session.display):
            note = f"{capital(alone)}. {note}"
        self._say(head, self._range(spread), note)
        self._show_rows([self._row(each) for each in (*spread.limits, *spread.conditions)])
        self.bars.show_bars(self._spreaders(spread))
        show_all_rows(self.bars)

    def _say(self, head: str, span: str, note: str) -> None:
        for label, text in ((self.head, head), (self.range, span), (self.note, note)):
            if label.text() != text:
                label.setText(text)
            label.setVisible(bool(text))

    def _range(self, spread: Spread) -> str:
        """Where the reading looked into lies over the copies, and what spreads it most."""
        display, key = self._session.display, self._findings.reading
        kinds = {kind.key: kind for kind in catalogue(self._session.document.design)}
        kind, over = kinds.get(key), spread.readings.get(key)
        if kind is None or over is None or math.isnan(over.low):
            return ""
        low, high = (units.show(end, kind.quantity, display) for end in (over.low, over.high))
        told = f"{kind.label}: 90 of 100 copies from {low} to {high}"
        worst = [each.worst for each in spread.limits if each.limit.reading == key]
        if worst and not math.isnan(worst[0]):
            told += f", all at worst {units.show(worst[0], kind.quantity, display)}"
        most = [each for each in spread.contributions(key) if each.share >= _LEAST]
        named = " and ".join(f"{each.label} ({words.percent(each.share)})" for each in most[:_MOST])
        return words.with_units(f"{told}." + (f" Most comes from {named}." if named else ""))

    def _row(self, each: LimitSpread) -> tuple[str, ...]:
        display = self._session.display
        kinds = {kind.key: kind for kind in catalogue(self._session.document.design)}
        kind = kinds.get(each.limit.reading)
        wanted = words.bound(each.limit, kind.quantity, display) if kind is not None else ""
        quantity = kind.quantity if kind is not None else "ratio"
        worst = words.corner(each.limit, each.worst, each.worst_holds, quantity, display)
        if kind is not None and wanted and not math.isnan(each.worst):
            worst = f"{units.show(each.worst, kind.quantity, display)}\n{worst}"
        whole = f"{each.label}, {wanted}." if wanted else f"{each.label}."
        corner = "" if each.worst_holds else f" “All at worst”: {words.CORNER}."
        offenders = ", ".join(
            f"{one.label} ({words.percent(one.share)})" for one in each.offenders if one.share > 0.0
        )
        tip = f"Most of its spread comes from: {offenders}." if offenders else ""
        sure = f"95 % sure: between {words.percent(each.holds.low)} and "
        return (
            f"{each.label}\n{wanted}" if wanted else each.label.replace(", ", ",\n"),
            words.percent(each.holds.share),
            worst,
            f"{whole} {sure}{words.percent(each.holds.high)} of all copies.{corner} {tip}".strip(),
            each.limit.reading if kind is not None else "",
        )

    def _show_rows(self, rows: list[tuple[str, ...]]) -> None:
        if rows == self._shown:
            return
        while self.limits.topLevelItemCount() > len(rows):
            self.limits.takeTopLevelItem(self.limits.topLevelItemCount() - 1)
        for place, row in enumerate(rows):
            item = self.limits.topLevelItem(place) or QTreeWidgetItem(self.limits)
            if place < len(self._shown) and row == self._shown[place]:
                continue
            for column, text in enumerate(row[:3]):
                item.setText(column, text)
                item.setToolTip(column, row[3])
            item.setTextAlignment(_HOLD, Qt.AlignmentFlag.AlignRight)
            item.setData(_LIMIT, Qt.ItemDataRole.UserRole, row[4])
        self._shown = rows
        show_all_rows(self.limits)

    def _spreaders(self, spread: Spread) -> list[Bar]:
        reading = self._findings.reading
        if reading not in spread.shares:
            return []
        bars = [
            Bar(each.label, each.share, words.percent(each.share))
            for each in spread.contributions(reading)
            if each.share >= _LEAST
        ]
        rest = spread.remainder(reading)
        if rest >= _LEAST:
            bars.append(Bar("several of them together", rest, words.percent(rest)))
        return bars

    def _look_into(self, item: QTreeWidgetItem) -> None:
        reading = item.data(_LIMIT, Qt.ItemDataRole.UserRole)
        if reading:
            self._findings.look_into(reading)

    def _select(self, item: QTreeWidgetItem) -> None:
        """Select the part that a line is about."""
        part = part_named(item.text(0), self._session.document.design)
        if part is not None:
            self._session.select(part)

    def _edit(self) -> None:
        from app.studies.tolerances import show_tolerances

        show_tolerances(self._session, self.window())


def part_named(label: str, design: Design) -> Ref | None:
    """The part that a tolerance's label names; None for one of all of them, such as friction."""
    for link in design.links:
        for point in link.points:
            if label in (hole_label(link.name, point), f"holes at {point}"):
                return Ref("point", point)
    for kind, parts in (
        ("spring", design.springs),
        ("weight", design.weights),
        ("load", design.loads),
    ):
        for part in parts:
            if label.endswith(f" of {part.name}"):
                return Ref(kind, part.name)  # type: ignore[arg-type]
    rest = label.removeprefix("rest ")
    return Ref("rest", rest) if rest in ("A", "B") else None


def _told(spread: Spread) -> tuple[str, str]:
    """The main sentence and what to know about it."""
    if spread.limits:
        share, does = spread.all_limits, "hold all limits"
    else:
        share, does = spread.good, "work as a throw-over lever"
    notes = [
        f"{words.count(spread.copies)} copies; of all that could be made, "
        f"{words.interval(share)} (95 % sure).",
    ]
    if spread.limits and spread.good.count != spread.all_limits.count:
        notes.append(f"{words.percent(spread.good.share)} hold them and always go home.")
    if not all(each.worst_holds for each in (*spread.limits, *spread.conditions)):
        notes.append("“All at worst” is a corner that almost no copy sees.")
    notes.extend(spread.notes)
    return f"{words.percent(share.share)} of copies {does}", " ".join(notes)
