"""Tags for reading aloud: what on a page is a heading, a paragraph, a list, a table or a drawing, and their tree.

After ISO 32000-1, 14.7 and 14.8 (from memory).

Marked content is written with the page; the structure tree is put in afterwards, as the page writer knows of none.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

from bigsign.output.unseen import UnseenTexts
from bigsign.sheets.grid import scale_text
from bigsign.sheets.items import Area, Box, Cell, Circle, Drawing, Entry, Item, Page, Point, Stroke, Text
from bigsign.wording import phrase

__all__ = ["MM", "Element", "PageTags", "page_tags", "tagged"]

MM = 72 / 25.4
NAMED = ("facts", "block")  # lists of values with a name, which is read with a colon

PITCH = 2.1  # lines of a paragraph stand at most this many heights of a capital apart
ALIGNED = 0.05  # mm


@dataclass(slots=True)
class Element:
    """A part of a page: a heading ("H1", "H2"), paragraph ("P"), drawing ("Figure"), or a part of a list or table.

    ``contents`` are the numbers of its marked contents; lists and tables have none, but ``children``. ``spoken`` is
    read in place of what is printed. ``box`` is a drawing's, mm from the page's top-left.
    """

    kind: str
    alt: str = ""
    spoken: str = ""
    box: Box | None = None
    contents: list[int] = field(default_factory=list)
    children: list[Element] = field(default_factory=list)

    def walk(self) -> Iterator[Element]:
        """Yield the element and all below it, in reading order."""
        yield self
        for child in self.children:
            yield from child.walk()


@dataclass(frozen=True, slots=True)
class PageTags:
    """A page's items in runs: (element, None for what is no content, number of the marked content, items).

    ``elements`` are those that stand on the page itself, in reading order.
    """

    elements: tuple[Element, ...]
    runs: tuple[tuple[Element | None, int, tuple[Item, ...]], ...]


def page_tags(page: Page) -> PageTags:
    """Return what each item of a page belongs to, in the order in which the page is drawn."""
    tree = _Tree(page)
    runs: list[tuple[Element | None, list[Item]]] = []
    for item in page.items:
        owner = tree.owner(item)
        if runs and runs[-1][0] is owner:
            runs[-1][1].append(item)
        else:
            runs.append((owner, [item]))
    tree.level_rows()
    numbered, count = [], 0
    for owner, items in runs:
        number = -1
        if owner is not None:
            number, count = count, count + 1
            owner.contents.append(number)
        numbered.append((owner, number, tuple(items)))
    return PageTags(tuple(tree.elements), tuple(numbered))


class _Tree:
    """The elements of a page, made as its items come.

    What belongs together comes together: a list or table goes on while nothing else begins.
    """

    def __init__(self, page: Page) -> None:
        self.elements: list[Element] = []
        self.figures = [
            Element("Figure", drawing.alt or _plain_name(page, drawing), box=drawing.paper_box_mm)
            for drawing in page.drawings
        ]
        self.figures += [Element("Figure", picture.alt, box=picture.paper_box_mm) for picture in page.pictures]
        self.boxes = [figure.box for figure in self.figures if figure.box is not None]
        self.text: Text | None = None  # the last one
        self.entry = ""  # the list that is being made
        self.cells: dict[tuple[int, int], Element] = {}  # of the table that is being made
        self.tables: list[tuple[Element, dict[tuple[int, int], Element]]] = []

    def owner(self, item: Item) -> Element | None:
        """Return the element that an item belongs to, made if need be; None for what is no content."""
        if not isinstance(item, Text):
            at = next((n for n, box in enumerate(self.boxes) if _inside(item, box)), None)
            return None if at is None else self._put(self.figures[at])
        role, before, self.text = item.role, self.text, item
        if isinstance(role, Cell):
            return self._cell(role)
        if isinstance(role, Entry):
            return self._entry(role, item)
        if role == "drawn" and self.figures:
            near = min(range(len(self.boxes)), key=lambda n: _distance(item.at, self.boxes[n]))
            return self._put(self.figures[near])
        if role == "again":
            return None
        last = self.elements[-1] if self.elements else None
        if role == "H2":
            if last is not None and last.kind == "H2" and before is not None and _same_heading(before, item):
                return last
            return self._put(Element("H2"))
        if last is not None and last.kind in ("H1", "P") and before is not None and _goes_on(before, item):
            return last
        return self._put(Element("H1" if role == "H1" else "P"))

    def _put(self, element: Element) -> Element:
        if all(element is not other for other in self.elements):
            self.elements.append(element)
        return element

    def _last(self, kind: str) -> Element | None:
        return self.elements[-1] if self.elements and self.elements[-1].kind == kind else None

    def _cell(self, cell: Cell) -> Element:
        table = self._last("Table")
        if table is None or (cell.row, cell.column) < max(self.cells, default=(0, 0)):
            table, self.cells = self._put(Element("Table")), {}
            self.tables.append((table, self.cells))
        at = (cell.row, cell.column)
        if at not in self.cells:
            if all(row != cell.row for row, _ in self.cells):
                table.children.append(Element("TR"))
            self.cells[at] = Element("TH" if cell.head else "TD")
            table.children[-1].children.append(self.cells[at])
        return self.cells[at]

    def _entry(self, entry: Entry, text: Text) -> Element:
        found = self._last("L")
        if found is None or self.entry != entry.of:
            found, self.entry = self._put(Element("L")), entry.of
        if entry.first or not found.children:
            found.children.append(Element("LI"))
        parts = found.children[-1].children
        kind = "Lbl" if entry.label else "LBody"
        if not parts or parts[-1].kind != kind:
            spoken = f"{text.string}:" if entry.label and entry.of in NAMED else ""
            parts.append(Element(kind, spoken=spoken))
        return parts[-1]

    def level_rows(self) -> None:
        """Give every row of a table a cell in every column: a cell without words has no text to tell of it."""
        for table, cells in self.tables:
            columns = range(max(column for _, column in cells) + 1)
            rows = sorted({row for row, _ in cells})
            for row, element in zip(rows, table.children, strict=True):
                empty = "TH" if row == 0 else "TD"
                element.children = [cells.get((row, column)) or Element(empty) for column in columns]


def _plain_name(page: Page, drawing: Drawing) -> str:
    return phrase("alt.drawing", page=page.title, scale=scale_text(drawing.scale))


def _distance(at: Point, box: Box) -> float:
    """Return how far a point is from a box."""
    across, down = max(box[0] - at[0], at[0] - box[2], 0.0), max(box[1] - at[1], at[1] - box[3], 0.0)
    return math.hypot(across, down)


def _same_heading(before: Text, text: Text) -> bool:
    """Whether a heading goes on, in the next line or farther along its own."""
    return before.role == "H2" and (abs(text.at[1] - before.at[1]) < ALIGNED or _goes_on(before, text))


def _goes_on(before: Text, text: Text) -> bool:
    """Whether a line goes on with the paragraph of the line before it: same letters, same edge, the next line down."""
    if before.turned or text.turned or not before.runs or not text.runs:
        return False
    one, other = before.runs[0], text.runs[0]
    down = text.at[1] - before.at[1]
    alike = one.cap == other.cap and one.bold == other.bold and before.role == text.role
    return alike and abs(text.at[0] - before.at[0]) < ALIGNED and 0 < down <= PITCH * one.cap


def _inside(item: Item, box: Sequence[float]) -> bool:
    points: Sequence[tuple[float, float]]
    if isinstance(item, Circle):
        points = [item.centre]
    elif isinstance(item, Area):
        points = [point for ring in item.rings for point in ring]
    elif isinstance(item, Stroke):
        points = item.points
    else:
        return False
    xs, ys = [x for x, _ in points], [y for _, y in points]
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    return bool(box[0] - 1 <= x <= box[2] + 1 and box[1] - 1 <= y <= box[3] + 1)


def tagged(pdf: bytes, pages: Sequence[PageTags], language: str, unseen: UnseenTexts) -> bytes:
    """Return a file with the structure tree of its marked contents; the same file gives the same bytes.

    ``unseen``: the texts behind its outlines, which get their characters here.
    """
    from pikepdf import Array, Dictionary, Name, Pdf, String

    with Pdf.open(BytesIO(pdf)) as document:
        root = document.make_indirect(Dictionary(Type=Name.StructTreeRoot))
        whole = document.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Document, P=root, K=Array()))
        numbers = Array()
        for index, (sheet, tags) in enumerate(zip(document.pages, pages, strict=True)):
            part = document.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Sect, P=whole, K=Array()))
            whole.K.append(part)
            owners: dict[int, Any] = {}
            for element in tags.elements:
                part.K.append(_made(document, element, part, sheet, owners))
            sheet.obj.StructParents = index
            sheet.obj.Tabs = Name.S
            numbers.append(index)
            numbers.append(document.make_indirect(Array([owners[number] for number in sorted(owners)])))
        root.K = whole
        root.ParentTree = document.make_indirect(Dictionary(Nums=numbers))
        root.ParentTreeNextKey = len(pages)
        document.Root.StructTreeRoot = root
        document.Root.MarkInfo = Dictionary(Marked=True)
        document.Root.Lang = String(language)
        document.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
        unseen.name_in(document)
        out = BytesIO()
        document.save(out, deterministic_id=True)
    return out.getvalue()


def _made(document: Any, element: Element, parent: Any, sheet: Any, owners: dict[int, Any]) -> Any:
    """Return an element and all below it as objects of the file, and note which one each marked content belongs to."""
    from pikepdf import Array, Dictionary, Name, String

    made = document.make_indirect(
        Dictionary(
            Type=Name.StructElem,
            S=Name("/" + element.kind),
            P=parent,
            Pg=sheet.obj,
            K=Array(element.contents),
        )
    )
    if element.alt:
        made.Alt = String(element.alt)
    if element.spoken:
        made.ActualText = String(element.spoken)
    if element.kind == "TH":
        made.A = Dictionary(O=Name.Table, Scope=Name.Column)
    if element.box is not None:
        x0, y0, x1, y1 = (value * MM for value in element.box)
        height = float(sheet.mediabox[3])
        corners = (x0, height - y1, x1, height - y0)
        made.A = Dictionary(O=Name.Layout, Placement=Name.Block, BBox=Array([round(value, 3) for value in corners]))
    owners.update(dict.fromkeys(element.contents, made))
    for child in element.children:
        made.K.append(_made(document, child, made, sheet, owners))
    return made
