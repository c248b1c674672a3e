"""Errors become text on stderr and an exit status; a traceback never reaches the user."""

import sys
import traceback
from collections.abc import Callable
from typing import ClassVar, NoReturn

from cutopt.errors import CutoptError, OurBugError, Problem

__all__ = ["INTERRUPTED", "UnusableError", "guarded", "tell"]

INTERRUPTED = 130
_LONGEST = 2000


class UnusableError(CutoptError):
    """The command cannot be done as it was given: exit 2."""

    exit_status: ClassVar[int] = 2


def guarded(command: Callable[[], object]) -> NoReturn:
    """Run ``command`` and leave with its exit status, whatever happens in it."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        command()
    except CutoptError as error:
        sys.exit(tell(error))
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    except Exception as error:  # noqa: BLE001 - whatever else escapes is our bug, and is told as one
        sys.exit(tell(_our_bug(error)))
    sys.exit(0)


def tell(error: CutoptError) -> int:
    """Print every problem on a line of its own and return the exit status."""
    from cutopt.sheet import clean  # noqa: PLC0415 - only a failing command pays for it

    for problem in error.problems:
        print(f"error: {clean(str(problem), longest=_LONGEST)}", file=sys.stderr)  # noqa: T201 - the command line prints
    return error.exit_status


def _our_bug(error: Exception) -> OurBugError:
    frames = traceback.extract_tb(error.__traceback__)
    where = f"{frames[-1].filename}:{frames[-1].lineno}" if frames else ""
    return OurBugError(
        Problem(
            what=f"a bug of cutopt itself: {type(error).__name__}: {error}",
            where=where,
            remedy="please report this line together with the file you gave",
        )
    )
