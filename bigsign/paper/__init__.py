"""The paper: what stands where on each page. Everything in mm from the page's top-left corner, y down."""

from bigsign.paper.items import Page, Sheets
from bigsign.paper.lay_out import lay_out

__all__ = ["Page", "Sheets", "lay_out"]
