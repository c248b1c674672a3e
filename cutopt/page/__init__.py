"""The page for a phone: one HTML file that needs no network, to work from and to tick what is laid."""

from cutopt.page._page import render_page

__all__ = ["render_page"]
