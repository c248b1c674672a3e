"""What moves a figure: a job turned into others like it, and the best of what they come to.

Nothing is planned here. ``_variants`` makes the choices of a study (``_usual``: which, where the job does not
say) and ``_best`` marks the best of them; ``_table`` makes the rooms of a table of waste factors; ``_growth``
says what of a job may turn out longer than told, ``_margins`` how far, and ``_mismeasured`` has it out by chance.
"""

from cutopt.study._best import best
from cutopt.study._growth import growing
from cutopt.study._margins import BoxesOf, margins
from cutopt.study._mismeasured import mismeasured
from cutopt.study._table import table_jobs
from cutopt.study._usual import usual_study
from cutopt.study._variants import variants

__all__ = [
    "BoxesOf",
    "best",
    "growing",
    "margins",
    "mismeasured",
    "table_jobs",
    "usual_study",
    "variants",
]
