"""How a process that plans many jobs treats its memory."""

import ctypes
import sys
from functools import cache

__all__ = ["keep_memory"]

# From the C library's own malloc.h (mallopt(3)).
_TRIM_THRESHOLD, _MMAP_THRESHOLD = -1, -3
_MIB = 2**20


@cache
def keep_memory() -> None:
    """Keep what arrays give back for the next ones, up to 64 MiB.

    A search makes and drops arrays of a few MiB all the time. As it is set up, the GNU C library hands each of them back
    to the system and asks for it anew: a fifth to a quarter of all processor time goes into clearing pages. Where there is
    another library, nothing is changed; no result depends on it.
    """
    if sys.platform != "linux":
        return
    mallopt = getattr(ctypes.CDLL(None), "mallopt", None)
    if mallopt is not None:
        mallopt(_MMAP_THRESHOLD, 32 * _MIB)
        mallopt(_TRIM_THRESHOLD, 64 * _MIB)
