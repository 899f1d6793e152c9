"""The page of a drawing: its size in px, and how user units lie on it."""

from __future__ import annotations

from bigsign.artwork.flatten import IDENTITY, Matrix
from bigsign.artwork.svg_document import Document, fault
from bigsign.artwork.svg_findings import Notes
from bigsign.artwork.svg_scene import FARTHEST, Page
from bigsign.artwork.svg_style import Style
from bigsign.artwork.svg_values import Viewport, fit_view_box, parse_length, parse_view_box

__all__ = ["page_of"]


def page_of(document: Document, style: Style, notes: Notes) -> tuple[Page | None, Matrix, Viewport]:
    """Return the page, user units to px of the page, and what percentages are of.

    A side that isn't given follows from the other and the view box; neither: the view box is the page, in px
    (and ``stated`` is False). Neither size nor view box: there is no page.

    Raises
    ------
    InputError
        If a side or the view box is nought or less, or far beyond any sign.
    """
    root = document.root
    box = None
    text = root.get("viewBox")
    if text is not None:
        box = parse_view_box(text)
        if box is None:
            raise fault(
                document, root, f"the viewBox '{text[:40]}' has no size",
                "four numbers, the last two above nought, as \"0 0 100 50\"",
            )
    width, height = (_side(document, style, notes, name) for name in ("width", "height"))
    stated = width is not None or height is not None
    if box is not None:
        if width is None and height is None:
            width, height = box.width, box.height
        elif width is None and height is not None:
            width = height * box.width / box.height
        elif height is None and width is not None:
            height = width * box.height / box.width
    if width is None or height is None:
        return None, IDENTITY, Viewport(None, None)
    if box is None:
        return Page(width, height, stated), IDENTITY, Viewport(width, height)
    aspect = root.get("preserveAspectRatio") or ""
    matrix = fit_view_box(box, width, height, aspect)
    if matrix is None:
        notes.add(
            "svg-number", f"preserveAspectRatio '{aspect[:30]}' is not understood and was passed over",
            document.source(root),
        )
        matrix = fit_view_box(box, width, height, "") or IDENTITY
    return Page(width, height, stated), matrix, Viewport(box.width, box.height)


def _side(document: Document, style: Style, notes: Notes, name: str) -> float | None:
    text = style[name]
    if text == "auto":
        return None
    if text.endswith("%"):  # of a window, which film doesn't have
        return None
    value = parse_length(text, Viewport(None, None), name)
    if value is None:
        notes.add(
            "svg-unit", f"the page's {name} '{text[:30]}' has no fixed size and was passed over",
            document.source(document.root), "write it in mm, cm or in",
        )
        return None
    if not 0 < value < FARTHEST:
        raise fault(
            document, document.root, f"the page's {name} is '{text[:30]}'",
            "a width and height above nought, as \"200mm\"",
        )
    return value
