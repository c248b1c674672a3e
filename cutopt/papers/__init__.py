"""The papers to work from, as PDF, and the client's page: what an estimate comes to, told on one page."""

from cutopt.papers._pdf import render_client, render_lessons, render_pdf

__all__ = ["render_client", "render_lessons", "render_pdf"]
