"""Papers as PDF: a plain data object first, laid out second. Importing this loads no typesetter."""

from slingwright.papers.lift_sheet import lift_sheet

__all__ = ["lift_sheet"]
