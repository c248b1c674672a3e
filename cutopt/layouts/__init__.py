"""A layout as a plan: what it does not tell is filled in so that nothing can be found against it.

Pure functions on a Layout. Which findings on the plan would still rest on what was filled in,
:func:`untold_rules` says.
"""

from cutopt.layouts._plan import as_plan
from cutopt.layouts._untold import untold_rules

__all__ = ["as_plan", "untold_rules"]
