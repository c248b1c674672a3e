"""What a layout can be taught from: the smallest change that mends a breach, its habits, a plank it could have saved.

Pure functions on a plan. What counts as a breach is told from outside, as a function that counts them.
"""

from cutopt.mend._habits import habits
from cutopt.mend._mend import mend
from cutopt.mend._saved import first_saved

__all__ = ["first_saved", "habits", "mend"]
