"""Jobs planned from what is in hand, and gone on with a box of another lot, run as a user runs them."""

import json

import pytest
from inside import inside as cutopt
from test_replan_cli import JOB, plan_job, replan, stored


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    place = tmp_path_factory.mktemp("planned")
    (place / "job.toml").write_text(JOB, encoding="utf-8")
    assert plan_job(place, "--json", "plan.json", "--quiet").returncode == 0
    return (place / "plan.json").read_bytes()


@pytest.fixture
def folder(tmp_path, planned):
    (tmp_path / "plan.json").write_bytes(planned)
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    return tmp_path


def test_a_job_from_what_is_in_hand(folder):
    (folder / "have.toml").write_text(
        'planks = 20\n[[offcut]]\nlength = 40\nkeeps = "right"\ncount = 2\n', encoding="utf-8"
    )
    done = plan_job(folder, "--stock", "have.toml", "--json", "new.json")
    assert (done.returncode, done.stderr) == (0, b"")
    assert "Enough: " in done.stdout.decode()
    sources = [plank.get("source", "box") for plank in stored(folder)["planks"]]
    assert (
        stored(folder)["totals"]["planks"]
        == sources.count("box")
        < stored(folder, "plan.json")["totals"]["planks"]
    )
    assert 'the part in hand, 40" long' in done.stdout.decode()
    assert cutopt("check", "new.json", cwd=folder).returncode == 0


def test_a_job_that_cannot_be_done_from_what_is_in_hand_says_what_to_buy(folder):
    (folder / "have.toml").write_text("planks = 3\n", encoding="utf-8")
    done = plan_job(folder, "--stock", "have.toml", "--quiet")
    planks = stored(folder, "plan.json")["totals"]["planks"]
    boxes = -(-(planks - 3) // 8)
    assert done.returncode == 1
    assert done.stdout.decode() == (
        f"SHORT by {planks - 3} planks, {boxes} boxes: {planks} fresh planks still to open (proven fewest), "
        "3 in hand; with less it cannot be done\n"
    )


LOTS = '[[lot]]\nname = "4471"\nplanks = 6\n[[lot]]\nname = "5120"\nboxes = 2\n'


@pytest.mark.parametrize("keep", ["row", "mix"])
def test_lots_are_kept_apart_by_row_unless_told_otherwise(folder, keep):
    text = LOTS if keep == "row" else f'lots = "{keep}"\n{LOTS}'
    (folder / "have.toml").write_text(text, encoding="utf-8")
    done = plan_job(folder, "--stock", "have.toml", "--json", "new.json")
    assert (done.returncode, done.stderr) == (0, b"")
    plan = stored(folder)
    lots = {plank["plank"]: plank.get("lot", "") for plank in plan["planks"]}
    rows = [{lots[piece["plank"]] for piece in row["pieces"]} for row in plan["rows"]]
    if keep == "mix":
        assert "lots" not in plan["rules"]
        return
    assert all(len(row) == 1 for row in rows)
    assert list(lots.values()).count("4471") <= 6
    assert "lot 4471" in done.stdout.decode()
    assert plan["rules"]["lots"] == "row"
    # The same plan with one plank of the other lot in a row of the first is refused.
    other = next(plank for plank in plan["planks"] if plank["lot"] == "4471")
    other["lot"] = "5120"
    checked = cutopt("check", "-", cwd=folder, stdin=json.dumps(plan))
    assert checked.returncode == 1
    assert "lots meet that are to be kept apart" in checked.stdout.decode()


def test_going_on_with_a_box_of_another_lot(folder):
    (folder / "have.toml").write_text(
        '[[lot]]\nname = "old"\nplanks = 3\n[[lot]]\nname = "new"\nboxes = 1\n', encoding="utf-8"
    )
    done = replan(folder, "--laid", "2", "--stock", "have.toml", "--json", "new.json")
    assert done.returncode in {0, 1}
    assert done.stderr == b""
    assert cutopt("check", "new.json", cwd=folder).returncode == 0
    plan = stored(folder)
    lots = {plank["plank"]: plank["lot"] for plank in plan["planks"]}
    of_row = [{lots[piece["plank"]] for piece in row["pieces"]} for row in plan["rows"]]
    assert of_row[:2] == [{"old"}, {"old"}]
    assert of_row[-1] == {"new"}
