"""Tables of figures as a workbook (XLSX): a sheet for each, numbers as numbers, text as text."""

from cutopt.workbook._workbook import render_workbook

__all__ = ["render_workbook"]
