"""A drawing's XML, read under guard: sizes, entities, depth and references are checked before drawing.

Guard order: size cap, parse without network or DTD (the parser refuses entity bombs, outside entities and
more than 256 levels), the root, then what the references would expand to. Nothing outside the file is read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from lxml import etree

from bigsign.artwork.svg_file import plain_svg
from bigsign.budgets import BUDGETS
from bigsign.errors import Fault, InputError
from bigsign.findings import Source

__all__ = ["Budget", "Document", "Element", "fault", "href_of", "local_name", "read_document"]

Element = etree._Element
SVG: Final = "http://www.w3.org/2000/svg"
XLINK_HREF: Final = "{http://www.w3.org/1999/xlink}href"



@dataclass(frozen=True, slots=True, eq=False)
class Document:
    """A drawing as read: its root, elements by id (the first wins), and how faults name the place."""

    root: Element
    by_id: Mapping[str, Element]
    file: str
    where: str
    outside_styles: bool
    """Whether the file asks for a style sheet that lies outside it."""

    def source(self, element: Element) -> Source:
        """Return where ``element`` stands: file, line, and a name as "path#leaf"."""
        name = local_name(element) or str(element.tag)
        own_id = element.get("id")
        if own_id:
            name = f"{name}#{own_id if len(own_id) <= 40 else own_id[:39] + '…'}"
        line = element.sourceline
        return Source(self.file, int(line) if line else None, name)

    def target(self, reference: str) -> Element | None:
        """Return the element a local reference ("#leaf") names, None if there is none."""
        return self.by_id.get(reference[1:]) if reference.startswith("#") else None


class Budget:
    """Counts what a drawing costs, so that a few bytes can't ask for hours."""

    def __init__(self, document: Document) -> None:
        self._document = document
        self._elements = 0
        self._segments = 0

    def spend(self, element: Element, elements: int = 0, segments: int = 0) -> None:
        """Count some work done for ``element``.

        Raises
        ------
        InputError
            If the drawing holds more than any sign needs.
        """
        self._elements += elements
        self._segments += segments
        if self._elements > BUDGETS.elements:
            raise fault(
                self._document, element, "the drawing holds too many elements",
                f"at most {BUDGETS.elements:,}, references expanded",
            )
        if self._segments > BUDGETS.segments:
            raise fault(
                self._document, element, "the drawing's paths are too long",
                f"at most {BUDGETS.segments:,} segments",
            )


def fault(document: Document, element: Element | None, what: str, right: str) -> InputError:
    """Return the error that says ``what`` is wrong at ``element``, with file and line."""
    if element is None:
        return InputError(Fault(what, _place(document.where, document.file, None), right))
    source = document.source(element)
    place = _place(document.where, document.file, source.line)
    return InputError(Fault(f"{what} ({source.element})", place, right))


def _place(where: str, file: str, line: int | None) -> str:
    spot = f"{file} line {line}" if line else file
    return f"{where}, {spot}" if where else spot


def local_name(element: Element) -> str | None:
    """Return the SVG name of an element, None for one of another vocabulary (an editor's own data)."""
    tag = element.tag
    if not isinstance(tag, str):
        return None
    space, _, name = tag.rpartition("}")
    return name if space == f"{{{SVG}" else None


def href_of(element: Element) -> str:
    """Return the reference an element carries, with or without the old prefix; "" if none."""
    return (element.get("href") or element.get(XLINK_HREF) or "").strip()


def read_document(data: bytes, file: str, where: str) -> Document:
    """Parse a drawing under guard.

    Parameters
    ----------
    data : the file's bytes.
    file, where : name the file and the place in the project in faults.

    Raises
    ------
    InputError
        If it is too large, another kind of file, no well-formed XML, has no <svg> at its root, or its references expand
        beyond the budget.
    """

    def refuse(what: str, right: str, line: int | None = None) -> InputError:
        return InputError(Fault(what, _place(where, file, line), right))

    data = plain_svg(data, refuse)
    parser = etree.XMLParser(
        resolve_entities="internal", no_network=True, load_dtd=False, huge_tree=False, remove_comments=True,
    )
    try:
        root = etree.fromstring(data, parser)
    except etree.XMLSyntaxError as error:
        said = _plainly(error.msg or "it cannot be read")
        raise refuse(f"broken XML: {said}", "a well-formed SVG file", error.lineno or None) from None
    except (ValueError, LookupError) as error:
        raise refuse(f"broken XML: {str(error)[:120]}", "a well-formed SVG file") from None
    if isinstance(root.tag, str) and not root.tag.startswith("{"):
        # No xmlns: meant as SVG all the same, and most programs show it.
        for element in root.iter(etree.Element):
            if isinstance(element.tag, str) and not element.tag.startswith("{"):
                element.tag = f"{{{SVG}}}{element.tag}"
    if local_name(root) != "svg":
        name = str(root.tag).rpartition("}")[2][:40]
        raise refuse(f"no <svg> at the root but <{name}>", "an SVG file", int(root.sourceline or 1))
    outside = any(
        isinstance(node, etree._ProcessingInstruction) and node.target == "xml-stylesheet"
        for node in root.itersiblings(preceding=True)
    )
    etree.strip_tags(root, etree.PI)
    etree.strip_tags(root, etree.Entity)
    by_id: dict[str, Element] = {}
    for element in root.iter(etree.Element):
        own_id = element.get("id")
        if own_id:
            by_id.setdefault(own_id, element)
    document = Document(root, by_id, file, where, outside)
    _check_expansion(document)
    return document


def _plainly(message: str) -> str:
    """Say what the parser says without its settings and places."""
    if "Excessive depth" in message:
        return f"elements nested deeper than {BUDGETS.levels} levels"
    if "amplification" in message or "entity reference loop" in message:
        return "entities that expand without end"
    return re.sub(r", line \d+, column \d+$", "", " ".join(message.split()))[:120]


def _check_expansion(document: Document) -> None:
    """Count elements with every reference followed, before any is drawn: a bomb is refused at once."""
    counted: dict[Element, int] = {}
    under_way: set[Element] = set()

    def count(top: Element, depth: int) -> int:
        if top in counted:
            return counted[top]
        if top in under_way:  # a circle: the walk reports it and draws nothing for it
            return 0
        if depth > BUDGETS.levels:
            raise fault(document, top, "references follow one another too deep", f"at most {BUDGETS.levels} levels")
        under_way.add(top)
        total = 0
        for element in _plain_elements(top):
            total += 1
            if local_name(element) == "use":
                target = document.target(href_of(element))
                if target is not None:
                    total += count(target, depth + 1)
        under_way.discard(top)
        counted[top] = total
        return total

    Budget(document).spend(document.root, elements=count(document.root, 0))


def _plain_elements(top: Element) -> Iterator[Element]:
    return top.iter(etree.Element)
