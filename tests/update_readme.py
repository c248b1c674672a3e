"""Run the commands of the README's sessions and put what they print below them.

    python tests/update_readme.py

A session is a block of ``console`` lines; its commands stand behind ``$``. They run one after another in a
folder that holds a copy of the examples.
"""

import re
import shlex
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

from inside import inside as cutopt

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
SESSION = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def refreshed(text: str) -> str:
    """Return the README with the output of every session as it is now."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(ROOT / "examples", folder / "examples")
        return SESSION.sub(lambda found: f"```console\n{''.join(_session(found[1], folder))}```", text)


def _session(lines: str, folder: Path) -> Iterator[str]:
    for command in re.findall(r"^\$ (.*)$", lines, re.MULTILINE):
        yield f"$ {command}\n"
        yield _output(shlex.split(command), folder)


def _output(words: list[str], folder: Path) -> str:
    """Return what a command prints; only those that end well may stand in the README, and a layout found wanting."""
    program, *arguments = words
    if program == "cat":
        return (folder / arguments[0]).read_text(encoding="utf-8")
    if program != "cutopt":
        raise ValueError(f"sessions run cutopt and cat, not {program}")
    done: subprocess.CompletedProcess[bytes] = cutopt(*arguments, cwd=folder)
    if done.returncode > (arguments[0] == "check") or done.stderr:
        raise ValueError(f"{shlex.join(words)}: exit {done.returncode}\n{done.stderr.decode()}")
    return done.stdout.decode()


def main() -> None:
    """Write the README anew where a session has changed."""
    before = README.read_text(encoding="utf-8")
    after = refreshed(before)
    README.write_text(after, encoding="utf-8")
    print(
        "README.md is as it was" if after == before else "README.md has new sessions: review the difference"
    )


if __name__ == "__main__":
    main()
