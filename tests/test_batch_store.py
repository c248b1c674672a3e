"""What is done is kept under the name of all it depends on, and believed only as it was kept."""

import json
import os
import subprocess
import sys
from dataclasses import fields, replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from batches import act, done, names, room_job, tally, titled, tried
from hypothesis import given
from hypothesis import strategies as st

from cutopt.batch import UnreadyError
from cutopt.batch import _digest as digests
from cutopt.batch._digest import canonical, digest
from cutopt.batch._store import Store
from cutopt.model.estimate import Failed, Tally, Task, Why
from cutopt.model.pricing import Varied, Vary
from cutopt.pipeline._tally import tally_of

ROOT = Path(__file__).parents[1]
NONE = "0" * 64


# Kept


def files(folder):
    return sorted(path for path in folder.rglob("*") if path.is_file())


def test_what_is_done_is_not_done_again(tmp_path):
    store, log = tmp_path / "store", tmp_path / "log"
    first = done(titled("a", "bb", log=log), workers=1, store=store)
    seen = []
    tasks = titled("bb", "ccc", "a", "a", log=log)
    again = done(tasks, workers=1, store=store, progress=lambda *told: seen.append(told))
    assert again == [first[1], tally(3), first[0], first[0]]
    assert tried(log) == ["a", "bb", "ccc"]
    assert seen == [(3, 4, 0), (4, 4, 0)]


def test_a_clash_and_a_wrong_file_are_kept_and_what_time_or_a_bug_decided_is_not(tmp_path):
    log = tmp_path / "log"
    titles = ["clash a", "file b", "time c", "raise d"]
    outcomes = done(titled(*titles, log=log), workers=1, store=tmp_path / "store")
    assert [outcome.why for outcome in outcomes] == [Why.CLASH, Why.FILE, Why.TIME, Why.BUG]
    assert done(titled(*titles, log=log), workers=1, store=tmp_path / "store") == outcomes
    assert tried(log) == [*titles, "time c", "raise d"]


OUTCOMES = st.one_of(
    st.builds(
        Tally,
        **dict.fromkeys((f.name for f in fields(Tally) if f.type is int), st.integers()),
        reason=st.text(),
        timed=st.just(False),  # noqa: FBT003 - what the clock ended is not kept
    ),
    st.builds(Failed, why=st.sampled_from([Why.CLASH, Why.FILE]), problems=st.lists(st.text()).map(tuple)),
)


@given(OUTCOMES)
def test_an_outcome_is_found_as_it_was_kept(tmp_path_factory, outcome):
    store = Store(tmp_path_factory.getbasetemp() / "outcomes")
    store.keep(NONE, outcome)
    assert store.find(NONE) == outcome
    assert len(files(store.folder)) == 1


def edited(path, **values):
    entry = json.loads(path.read_text(encoding="utf-8"))
    entry["outcome"]["Tally"] |= values
    path.write_text(json.dumps(entry), encoding="utf-8")


DAMAGES = {
    "empty": lambda path: path.write_bytes(b""),
    "torn": lambda path: path.write_bytes(path.read_bytes()[:-30]),
    "not text": lambda path: path.write_bytes(b"\xff\x00" * 40),
    "another file": lambda path: path.write_text('{"planks": 3}', encoding="utf-8"),
    "a list": lambda path: path.write_text("[]", encoding="utf-8"),
    "a number": lambda path: path.write_text("3", encoding="utf-8"),
    "deep": lambda path: path.write_text("[" * 100_000, encoding="utf-8"),
    "a better figure": lambda path: edited(path, planks=0),
    "one more figure": lambda path: edited(path, luck=1),
}


@pytest.mark.parametrize("damage", DAMAGES.values(), ids=DAMAGES)
def test_what_is_damaged_or_not_ours_is_done_again_and_replaced(tmp_path, damage):
    store, log = tmp_path / "store", tmp_path / "log"
    for _ in range(2):
        assert done(titled("aaa", log=log), store=store) == [tally(3)]
        (file,) = files(store)
        sound = file.read_bytes()
        damage(file)
    assert tried(log) == ["aaa", "aaa"]
    assert done(titled("aaa", log=log), store=store) == [tally(3)]
    assert file.read_bytes() == sound


def test_an_entry_of_another_task_is_not_believed(tmp_path):
    store = Store(tmp_path)
    store.keep(NONE, tally(3))
    other = NONE.replace("0", "1")
    (tmp_path / other[:2]).mkdir()
    (tmp_path / other[:2] / f"{other[2:]}.json").write_bytes(files(tmp_path)[0].read_bytes())
    assert store.find(NONE) == tally(3)
    assert store.find(other) is None


def test_what_a_killed_process_left_beside_is_no_entry(tmp_path):
    done(titled("a"), store=tmp_path)
    (file,) = files(tmp_path)
    file.rename(file.with_suffix(".0123456789abcdef"))
    log = tmp_path / "log"
    done(titled("a"), store=tmp_path)
    assert len(files(tmp_path)) == 2
    assert not log.exists()


def test_a_folder_that_cannot_be_written_to_is_told(tmp_path):
    (tmp_path / "store").write_text("a file", encoding="utf-8")
    with pytest.raises(UnreadyError) as told:
        done(titled("a"), store=tmp_path / "store")
    what, where, remedy = str(told.value).split(" - ")
    assert what == "what is done cannot be kept: Not a directory"
    assert where == str(tmp_path / "store")
    assert remedy == "name another folder, or make room; what is in it already is not done again"


def test_a_full_disk_leaves_nothing_half_written(tmp_path, monkeypatch):
    def full(_path, _target):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(UnreadyError, match="No space left on device"):
        done(titled("a"), store=tmp_path)
    assert files(tmp_path) == []


# Named


def test_a_name_is_the_same_in_every_process():
    texts = {
        subprocess.run(
            [sys.executable, "-c", "from batches import names; print(*names())"],
            cwd=ROOT / "tests",
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
            text=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert texts == {" ".join(names()) + "\n"}


def test_a_name_depends_on_all_but_the_key(monkeypatch):
    job = room_job(3000, 2000)
    task = Task(key="a", job=job)
    others = [
        replace(task, seed=1),
        replace(task, searches=None),
        replace(task, searches=3),
        replace(task, seconds=61.0),
        replace(task, times=2),
        replace(task, beside=((job, 1),)),
        replace(task, job=replace(job, title="Other")),
        replace(task, job=replace(job, plank=replace(job.plank, kerf=1))),
        replace(task, job=replace(job, rules=replace(job.rules, max_waiting=None))),
        replace(task, job=room_job(3000, 2001)),
    ]
    found = {digest(one, act) for one in (task, *others)}
    found.add(digest(task, tally_of))
    monkeypatch.setattr(digests, "versions", lambda: (("cutopt", "9"),))
    found.add(digest(task, act))
    assert len(found) == len(others) + 3
    monkeypatch.undo()
    assert digest(replace(task, key="b"), act) == digest(task, act)


def test_versions_are_those_that_decide_a_plan():
    assert [name for name, _ in digests.versions()] == ["cutopt", "ortools", "numpy"]


UNLIKE = [
    None, True, 1, 1.5, "1", "1/2", Fraction(1, 2), Decimal("0.5"), Decimal("0.50"), (), (1,), ((1,),), ("1",), (1, 2),
    ((1, 2),), Varied.KERF.value + " ", Vary(what=Varied.KERF, choices=(1,)), Vary(what=Varied.KERF, choices=("1",)),
]  # fmt: skip


def test_what_differs_never_looks_the_same():
    texts = [json.dumps(canonical(value)) for value in UNLIKE]
    assert len(set(texts)) == len(UNLIKE)


def test_what_has_no_one_spelling_is_refused():
    for odd in ({1, 2}, {"a": 1}, object(), Vary):
        with pytest.raises(TypeError, match="nothing to be named by"):
            canonical(odd)
