"""Tags for reading aloud: what on a page is a heading, a paragraph or a drawing, and the tree of them.

After ISO 32000-1, 14.7 and 14.8 (from memory).

Marked content is written with the page; the structure tree is put in afterwards, as the page writer knows of none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from io import BytesIO

from bigsign.sheets.grid import scale_text
from bigsign.sheets.items import Area, Circle, Item, Page, Stroke, Text
from bigsign.sheets.style import TITLE_CAP
from bigsign.wording import phrase

__all__ = ["Element", "PageTags", "page_tags", "tagged"]

PITCH = 2.1  # lines of a paragraph stand at most this many heights of a capital apart
ALIGNED = 0.05  # mm


@dataclass(slots=True)
class Element:
    """A heading ("H1"), paragraph ("P") or drawing ("Figure") of a page, with the numbers of its marked contents."""

    kind: str
    alt: str = ""
    contents: list[int] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class PageTags:
    """A page's items in runs: (element, None for what is no content, number of the marked content, items)."""

    elements: tuple[Element, ...]
    runs: tuple[tuple[Element | None, int, tuple[Item, ...]], ...]


def page_tags(page: Page) -> PageTags:
    """Return what each item of a page belongs to, in the order in which the page is drawn."""
    figures = [
        Element("Figure", phrase("alt.drawing", page=page.title, scale=scale_text(drawing.scale)))
        for drawing in page.drawings
    ]
    elements: list[Element] = []
    runs: list[tuple[Element | None, list[Item]]] = []
    last: tuple[Element, Text] | None = None
    for item in page.items:
        owner: Element | None = None
        if isinstance(item, Text):
            if last is not None and _goes_on(last[1], item):
                owner = last[0]
            else:
                title = item.runs and item.runs[0].cap == TITLE_CAP and not any(e.kind == "H1" for e in elements)
                owner = Element("H1" if title else "P")
            last = (owner, item)
        else:
            boxes = [drawing.paper_box_mm for drawing in page.drawings]
            owner = next((figure for figure, frame in zip(figures, boxes, strict=True) if _inside(item, frame)), None)
        if owner is not None and all(owner is not element for element in elements):
            elements.append(owner)
        if runs and runs[-1][0] is owner:
            runs[-1][1].append(item)
        else:
            runs.append((owner, [item]))
    numbered = []
    for owner, items in runs:
        number = -1
        if owner is not None:
            number = sum(len(element.contents) for element in elements)
            owner.contents.append(number)
        numbered.append((owner, number, tuple(items)))
    return PageTags(tuple(elements), tuple(numbered))


def _goes_on(before: Text, text: Text) -> bool:
    """Whether a line goes on with the paragraph of the line before it: same letters, same edge, the next line down."""
    if before.turned or text.turned or not before.runs or not text.runs:
        return False
    one, other = before.runs[0], text.runs[0]
    down = text.at[1] - before.at[1]
    alike = one.cap == other.cap and one.bold == other.bold
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


def tagged(pdf: bytes, pages: Sequence[PageTags], language: str) -> bytes:
    """Return a file with the structure tree of its marked contents; the same file gives the same bytes."""
    from pikepdf import Array, Dictionary, Name, Pdf, String

    with Pdf.open(BytesIO(pdf)) as document:
        root = document.make_indirect(Dictionary(Type=Name.StructTreeRoot))
        whole = document.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Document, P=root, K=Array()))
        numbers = Array()
        for index, (sheet, tags) in enumerate(zip(document.pages, pages, strict=True)):
            part = document.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Sect, P=whole, K=Array()))
            whole.K.append(part)
            owners = {}
            for element in tags.elements:
                made = document.make_indirect(
                    Dictionary(
                        Type=Name.StructElem,
                        S=Name("/" + element.kind),
                        P=part,
                        Pg=sheet.obj,
                        K=Array(element.contents),
                    )
                )
                if element.alt:
                    made.Alt = String(element.alt)
                part.K.append(made)
                owners.update(dict.fromkeys(element.contents, made))
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
        out = BytesIO()
        document.save(out, deterministic_id=True)
    return out.getvalue()
