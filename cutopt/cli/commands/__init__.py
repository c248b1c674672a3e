"""The commands, one a module: what each is asked with. What it needs loads only when it runs."""

from cutopt.cli.commands.check import check
from cutopt.cli.commands.estimate import estimate
from cutopt.cli.commands.new import new
from cutopt.cli.commands.plan import plan
from cutopt.cli.commands.replan import replan
from cutopt.cli.commands.rules import rules
from cutopt.cli.commands.schema import schema
from cutopt.cli.commands.teach import teach

__all__ = ["check", "estimate", "new", "plan", "replan", "rules", "schema", "teach"]
