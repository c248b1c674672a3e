"""Job files refused as a whole, and any value in any place: always a job or a refusal."""

import json
import os
import tomllib
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from job_texts import FULL, SHORT

from cutopt.errors import CutoptError, JobError, UnsupportedError
from cutopt.jobfile import parse_job, read_job


@dataclass(frozen=True)
class Literal:
    """A value that only TOML can write."""

    text: str


@pytest.mark.parametrize(
    "change",
    [("click vinyl", "solid strip"), ("per_box = 8", "per_box = 8\nsingle_length = false")],
    ids=["solid strip", "said outright"],
)
def test_mixed_lengths_are_not_planned_yet(change):
    with pytest.raises(UnsupportedError) as caught:
        parse_job(SHORT.replace(*change), "loft.toml")
    assert str(caught.value) == (
        "planks of mixed lengths are not planned yet - loft.toml: plank.single_length - "
        "if every plank has the length given, set single_length = true"
    )


def refusal(path):
    with pytest.raises(JobError) as caught:
        read_job(path)
    return str(caught.value)


def test_no_file(tmp_path):
    path = tmp_path / "loft.toml"
    assert refusal(path) == f'there is no such file - {path} - check the name, or write one with "cutopt new"'
    (tmp_path / "lofts.toml").touch()
    assert refusal(path) == f'there is no such file - {path} - did you mean "lofts.toml"?'


def test_a_folder(tmp_path):
    assert refusal(tmp_path) == f"this is a folder - {tmp_path} - name the job file in it"


def test_not_utf_8(tmp_path):
    path = tmp_path / "loft.toml"
    path.write_bytes(b'unit = "in"\ntitle = "caf\xe9"\n')
    assert (
        refusal(path) == f"the file is not UTF-8 text - {path}: line 2 - save it as UTF-8 in the text editor"
    )


def test_a_name_that_is_none():
    assert (
        refusal(Path("a\0b")) == "the file cannot be read (bad name) - a\\u0000b - check its name and rights"
    )


def test_an_endless_file():
    assert (
        refusal(Path("/dev/zero"))
        == "the file is over 10 MB - /dev/zero - a job file is a short text: check its name"
    )


def test_a_file_that_may_not_be_read(tmp_path):
    path = tmp_path / "loft.toml"
    path.symlink_to(path)
    reason = os.strerror(40).lower()
    assert refusal(path) == f"the file cannot be read ({reason}) - {path} - check its name and rights"


NASTY = st.sampled_from(
    [0, -1, 3, 10**5000, True, "", "x", "1/0", "12' 5", "\u202e\x1b", [], [[]], {}, [1, 2], [{}]]
)
FLOATS = st.sampled_from(["nan", "-inf", "1e999999999", "1e-999999999", "0.5", "1979-05-27"]).map(Literal)


def as_toml(value):
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(key)} = {as_toml(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(as_toml, value)) + "]"
    if isinstance(value, int) and not isinstance(value, bool):
        return hex(value) if value >= 0 else str(value)
    return value.text if isinstance(value, Literal) else json.dumps(value)


def branches(value):
    """Yield every table and list of a document with each of its keys."""
    for key, inner in list(value.items() if isinstance(value, dict) else enumerate(value)):
        yield value, key
        if isinstance(inner, dict | list):
            yield from branches(inner)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.data())
def test_any_value_in_any_place_gives_a_job_or_a_refusal(data):
    document = tomllib.loads(FULL)
    for _ in range(data.draw(st.integers(1, 3))):
        inside, key = data.draw(st.sampled_from(list(branches(document))))
        if data.draw(st.booleans()):
            inside[key] = data.draw(NASTY | FLOATS)
        else:
            del inside[key]
    text = "\n".join(f"{key} = {as_toml(value)}" for key, value in document.items())
    try:
        job = parse_job(text)
    except CutoptError as error:
        assert all(problem.what and problem.where and problem.remedy for problem in error.problems)  # noqa: PT017 - either end is right
    else:
        assert job.rooms
