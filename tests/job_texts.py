"""Job files that tests start from and change: one with every key, a short one, and one whose rules clash."""

from pathlib import Path

FULL = (Path(__file__).parent / "data" / "every-key.toml").read_text(encoding="utf-8")
SHORT = """\
unit = "in"

[plank]
kind = "click vinyl"
length = 48
width = 7
per_box = 8

[[room]]
name = "Loft"
size = [149, 182]
"""
SIZE = "size = [149, 182]"
ATTIC = """title = "Attic"
unit = "in"
[plank]
length = 36
width = 6
per_box = 10
ends = "handed"
kerf = 0
[rules]
stagger = 12
min_piece = 12
h_joint = 2
stair_step = 0
gap = 0
[[room]]
name = "Attic"
rows = [{ length = 108.75, count = 10 }]
"""
