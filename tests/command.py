"""The command line as a process of its own."""

import os
import subprocess
import sys


def cutopt(*args, cwd, stdin="", env=None):
    return subprocess.run(
        [sys.executable, "-c", "from cutopt.cli.app import main; main()", *map(str, args)],
        cwd=cwd,
        input=stdin if isinstance(stdin, bytes) else stdin.encode(),
        capture_output=True,
        check=False,
        timeout=120,
        env={**os.environ, "PYTHONIOENCODING": "utf-8", **(env or {})},
    )
