"""The papers to work from, as PDF: cover, floor, setting out, cut sheet, cutting list and racking list."""

from cutopt.papers._pdf import render_pdf

__all__ = ["render_pdf"]
