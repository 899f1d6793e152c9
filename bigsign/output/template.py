"""The full-size template as PDF: draws what its sheets say, where they say it."""

from __future__ import annotations

from bigsign.output.guide import sheets_pdf
from bigsign.plan_records import Plan
from bigsign.sheets.template import Template
from bigsign.wording import phrase, speaking

__all__ = ["template_pdf"]


def template_pdf(template: Template, plan: Plan) -> bytes:
    """Return the template; the same sheets give the same bytes. One unit of the page is one of the sign's.

    Raises
    ------
    ValueError
        If a text holds a character the font lacks.
    """
    with speaking(template.sheets.language):
        title = f"{plan.sign.name}: {phrase('title.template')}"
    return sheets_pdf(template.sheets, title, plan)
