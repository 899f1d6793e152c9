"""The paper: what stands where on each page. Everything in mm from the page's top-left corner, y down."""

from bigsign.sheets.items import Page, Sheets
from bigsign.sheets.lay_out import lay_out

__all__ = ["Page", "Sheets", "lay_out"]
