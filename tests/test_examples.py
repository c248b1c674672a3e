"""Every example, end to end by the command line, against its stored sheet.

    UPDATE_SHEETS=1 pytest tests/test_examples.py

stores the sheets anew; review the difference. The examples are jobs whose plans are soon proven fewest, so
that no clock has a say in them.
"""

import os
from pathlib import Path

import pytest
from inside import inside as cutopt

EXAMPLES = Path(__file__).parents[1] / "examples"
JOBS = sorted(EXAMPLES.glob("*.toml"))
# Many times what any proof takes here; a share of it then goes to looking for plans with fewer planks waiting.
SECONDS = 25


@pytest.mark.parametrize("job", JOBS, ids=[job.stem for job in JOBS])
def test_an_example_gives_its_stored_sheet_and_a_plan_the_check_accepts(job, tmp_path):
    plan = tmp_path / "plan.json"
    done = cutopt("plan", job.name, "--time-limit", SECONDS, "--json", plan, cwd=EXAMPLES)
    assert (done.returncode, done.stderr) == (0, b"")
    stored = EXAMPLES / "expected" / f"{job.stem}.txt"
    if os.environ.get("UPDATE_SHEETS"):
        stored.parent.mkdir(exist_ok=True)
        stored.write_bytes(done.stdout)
    assert done.stdout.decode() == stored.read_text(encoding="utf-8")
    assert "(proven fewest)" in done.stdout.decode()
    checked = cutopt("check", plan, cwd=tmp_path)
    assert (checked.returncode, checked.stderr) == (0, b"")


def test_every_stored_sheet_has_its_job():
    assert [path.stem for path in sorted((EXAMPLES / "expected").iterdir())] == [job.stem for job in JOBS]
