"""Many jobs: in this process, in several of this machine, or on a cluster; what is done is kept, and not done again.

The same tasks have the same outcomes in the same order whoever plans them, as long as each is ended by its
searches and not by the clock.
"""

from cutopt.batch._crew import Crew, run
from cutopt.batch._settings import BatchSettings, Progress, UnreadyError, Work

__all__ = ["BatchSettings", "Crew", "Progress", "UnreadyError", "Work", "run"]
