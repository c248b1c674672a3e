"""Layouts as people type or export them: CSV with one row a line, or a small TOML file."""

from cutopt.jobfile.layouts._open import is_layout, parse_layout, read_layout

__all__ = ["is_layout", "parse_layout", "read_layout"]
