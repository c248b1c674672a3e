"""What the stages that ask the constraint solver share: the rules on joints in its terms, and how it is run."""

from cutopt.planner.cpsat.joints import Joints
from cutopt.planner.cpsat.run import Answer, Writing, run_aside, solve_aside

__all__ = ["Answer", "Joints", "Writing", "run_aside", "solve_aside"]
