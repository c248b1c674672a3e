"""What can go wrong, as one small tree.

::

    CutoptError
    ├── JobError          the job file is wrong                     exit 3
    ├── PlanFileError     the plan file is wrong                    exit 3
    ├── UnsupportedError  the job asks for what is not built        exit 3
    ├── RulesClashError   proved: the rules cannot all be met       exit 1
    ├── NoPlanInTimeError no plan found in the time given           exit 4
    └── OurBugError       the independent check refused our plan    exit 70

The core raises these; only the command line turns them into text and an exit status.
"""

from dataclasses import dataclass
from typing import ClassVar

__all__ = [
    "CutoptError",
    "JobError",
    "NoPlanInTimeError",
    "OurBugError",
    "PlanFileError",
    "Problem",
    "RulesClashError",
    "UnsupportedError",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing that is wrong: what, where and what would help."""

    what: str
    where: str = ""
    remedy: str = ""

    def __str__(self) -> str:
        """Return the problem on one line, its parts joined by dashes."""
        return " - ".join(part for part in (self.what, self.where, self.remedy) if part)


class CutoptError(Exception):
    """Any refusal a user should read; carries every problem found, not the first alone."""

    exit_status: ClassVar[int] = 70

    def __init__(self, *problems: Problem) -> None:
        """Keep the problems in the order they were found."""
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


class JobError(CutoptError):
    """The job file cannot be read or contradicts itself."""

    exit_status = 3


class PlanFileError(CutoptError):
    """A plan file cannot be read."""

    exit_status = 3


class UnsupportedError(CutoptError):
    """The job is sound but asks for something the program does not do."""

    exit_status = 3


class RulesClashError(CutoptError):
    """It is proved that no plan keeps all the rules."""

    exit_status = 1


class NoPlanInTimeError(CutoptError):
    """The search ended without a plan; nothing is proved."""

    exit_status = 4


class OurBugError(CutoptError):
    """The independent check refused a plan of our own."""

    exit_status = 70
