"""The command line within this process, which has loaded the solver already."""

import io
import subprocess
import sys

import pytest

from cutopt.cli.app import main


def inside(*args, cwd, stdin=""):
    """Run a command in this process, which has loaded the solver already."""
    data = stdin if isinstance(stdin, bytes) else stdin.encode()
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", newline="") for _ in range(2))
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(cwd)
        patch.setattr(sys, "argv", ["cutopt", *map(str, args)])
        patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data), encoding="utf-8"))
        patch.setattr(sys, "stdout", out)
        patch.setattr(sys, "stderr", err)
        with pytest.raises(SystemExit) as ended:
            main()
    for stream in (out, err):
        stream.flush()
    return subprocess.CompletedProcess(
        args, ended.value.code or 0, out.buffer.getvalue(), err.buffer.getvalue()
    )
