"""What leaves the program: text to stdout, and files that are written whole or not at all."""

import os
import stat
import sys
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from cutopt.cli._errors import UnusableError
from cutopt.errors import Problem

__all__ = ["STDOUT", "Target", "check_targets", "emit", "note", "numbered", "write_files"]

STDOUT = "-"


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """Where one result goes: ``file`` is a path or ``-`` for stdout; ``option`` is named in errors."""

    option: str
    file: str

    @property
    def path(self) -> Path:
        """The file behind any links, so that a link is kept and what it points to is replaced."""
        return Path(os.path.realpath(self.file))

    @property
    def is_stdout(self) -> bool:
        """Whether the result is printed."""
        return self.file == STDOUT


def numbered(target: Target, nth: int) -> Target:
    """Return where the ``nth`` of several sheets goes: the first to the file itself, then ``FILE-2.svg``."""
    if nth == 1:
        return target
    path = Path(target.file)
    return replace(target, file=str(path.with_name(f"{path.stem}-{nth}{path.suffix}")))


def emit(result: str | bytes) -> None:
    """Write a result to stdout, bytes as they are; a reader who stopped reading is no error."""
    if sys.stdout is None:
        return
    try:
        if isinstance(result, bytes):
            sys.stdout.buffer.write(result)
        else:
            sys.stdout.write(result)
        sys.stdout.flush()
    except BrokenPipeError:
        _drop_stdout()
    except OSError as error:
        _drop_stdout()
        raise _cannot_write("standard output", error, "send it elsewhere") from None


def _drop_stdout() -> None:
    """Point stdout at nothing, or the interpreter complains about it at exit."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def note(text: str) -> None:
    """Write a remark to stderr where a person sits before it."""
    if sys.stderr is not None and sys.stderr.isatty():
        sys.stderr.write(f"{text}\n")


def check_targets(targets: Iterable[Target], source: str) -> None:
    """Refuse what could not be written, before any work is done for it.

    ``source`` is the file the command reads: it is never written over.
    """
    seen: dict[Path | str, str] = (
        {} if source == STDOUT else {Path(os.path.realpath(source)): "the file read"}
    )
    for target in targets:
        key = STDOUT if target.is_stdout else target.path
        if key in seen:
            raise _refused(target, f"the same place as {seen[key]}", "name another file")
        seen[key] = target.option
        if not target.is_stdout:
            _check_path(target)


def _check_path(target: Target) -> None:
    try:
        if target.path.is_dir():
            raise _refused(target, "this is a folder", "name a file in it")
        if not target.path.parent.is_dir():
            raise _refused(target, "there is no such folder", "make it first, or choose another")
        if not os.access(target.path.parent, os.W_OK):
            raise _refused(target, "the folder may not be written to", "choose another")
    except (OSError, ValueError) as error:
        raise _cannot_write(f"{target.option} {target.file}", error, "choose another name") from None


def _refused(target: Target, what: str, remedy: str) -> UnusableError:
    return UnusableError(Problem(what=what, where=f"{target.option} {target.file}", remedy=remedy))


def _cannot_write(where: str, error: OSError | ValueError, remedy: str) -> UnusableError:
    reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return UnusableError(Problem(what=f"cannot be written: {reason}", where=where, remedy=remedy))


def write_files(results: Iterable[tuple[Target, str | bytes]]) -> None:
    """Write every result to its file, all of them or none; text as UTF-8.

    Each is first written to a temporary name in the same folder and renamed when all are complete.
    """
    with _temporary_names() as done:
        for target, result in results:
            try:
                if _is_special(target.path):
                    target.path.write_bytes(_bytes(result))
                else:
                    done.append((_write_beside(target.path, _bytes(result)), target.path))
            except OSError as error:
                raise _cannot_write(f"{target.option} {target.file}", error, "choose another place") from None


@contextmanager
def _temporary_names() -> Iterator[list[tuple[Path, Path]]]:
    """Rename what was written once all of it was; otherwise take it away again."""
    done: list[tuple[Path, Path]] = []
    try:
        yield done
        while done:
            temporary, final = done[0]
            temporary.replace(final)
            done.pop(0)
    finally:
        for temporary, _ in done:
            temporary.unlink(missing_ok=True)


def _write_beside(path: Path, data: bytes) -> Path:
    """Write ``data`` to a temporary name beside ``path``, with the rights the file will have."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name[:100]}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(name).chmod(_rights(path))
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return Path(name)


def _rights(path: Path) -> int:
    """Return the rights of the file there is, or those any new file gets."""
    if path.exists():
        return stat.S_IMODE(path.stat().st_mode)
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _is_special(path: Path) -> bool:
    """Say whether this is a device or a pipe, which a rename would do away with."""
    return path.exists() and not path.is_file()


def _bytes(result: str | bytes) -> bytes:
    return result if isinstance(result, bytes) else result.encode("utf-8", "replace")
