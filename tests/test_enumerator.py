"""The brute force itself, on floors whose fewest planks can be worked out on a corner of paper."""

from enumerator import fewest_planks
from runs import run_of

from cutopt.model.floor import Floor
from cutopt.model.job import Ends, Lay, PlankSpec, Rules, ShareOffcuts

NO_RULES = {"stagger": 0, "min_piece": 1, "h_joint": 0, "stair_step": 0, "cut_step": 1, "max_waiting": None}


def fewest(lengths, *, plank=10, ends=Ends.HANDED, kerf=0, slants=(0, 0), rooms=None, **rules):  # noqa: PLR0913 - a floor
    names = rooms or ["Loft"] * len(lengths)
    runs = tuple(
        run_of(row, length, slants=slants, room=name)
        for row, (length, name) in enumerate(zip(lengths, names, strict=True), 1)
    )
    spec = PlankSpec(length=plank, width=100, per_box=8, ends=ends, kerf=kerf)
    return fewest_planks(Floor(runs=runs), spec, Rules(**NO_RULES | rules))


def test_single_pieces_share_a_plank_unless_the_saw_takes_too_much():
    assert fewest([5, 5]) == 1
    assert fewest([5, 5], kerf=1) == 2
    assert fewest([5, 5], fit=1) == 2
    assert fewest([5, 4], kerf=1) == 1


def test_pieces_to_one_row_or_one_room_alone():
    assert fewest([5, 5], max_waiting=0) == 2
    assert fewest([5, 5, 5, 5], max_waiting=1) == 2
    assert fewest([5, 5], rooms=["Loft", "Den"]) == 1
    assert fewest([5, 5], rooms=["Loft", "Den"], share_offcuts=ShareOffcuts.ROOM) == 2


def test_only_square_ends_let_two_starters_share_a_plank():
    # The slants leave one way: a starter of 4 and an end piece of 9.
    assert fewest([13, 13], min_piece=2, slants=(2, 7)) == 4
    assert fewest([13, 13], min_piece=2, slants=(2, 7), ends=Ends.SQUARE) == 3
    # Laid from the other side the starter is the piece of 9.
    assert fewest([13, 13], min_piece=2, slants=(2, 7), ends=Ends.SQUARE, lay=Lay.RIGHT_TO_LEFT) == 3


def test_a_plank_gives_single_pieces_between_starter_and_end_piece():
    # Starters and end pieces of 3 and 8: one plank gives 3, 4 and 3, none gives an 8 and more.
    pieces = {"min_piece": 2, "ends": Ends.SQUARE, "slants": (1, 6)}
    assert fewest([11, 11], **pieces) == 3
    assert fewest([11, 11, 4], **pieces) == 3


def test_a_short_run_in_two_pieces_where_that_saves_a_plank():
    # Three runs of 6 from two planks of 10: the third is a starter and an end piece of what the two leave.
    assert fewest([6, 6, 6]) == 2
    assert fewest([6, 6, 6], min_piece=4) == 3


def test_a_starter_off_the_step_needs_a_plank_without_trim():
    # Two rows of 15 from three planks want a starter of 5.
    assert fewest([15, 15], cut_step=4) == 3
    assert fewest([15, 15], cut_step=5, kerf=1) == fewest([15, 15], cut_step=4, kerf=1) == 4


def test_stagger():
    assert fewest([15, 15], stagger=5) == 3
    assert fewest([15, 15], stagger=6) is None
    assert fewest([15, 15], stagger=6, rooms=["Loft", "Den"]) == 3


def test_min_piece():
    assert fewest([12], min_piece=6) == 2
    assert fewest([12], min_piece=7) is None
    assert fewest([12], min_piece=6, slants=(1, 0)) is None
    assert fewest([8], min_piece=7, slants=(1, 1)) == 1  # single pieces are exempt


def test_joints_two_rows_apart():
    # Planks of 4: rows of 6 have their first joint at 2, 3 or 4, those under min_piece = 2 left out.
    assert fewest([6, 6, 6], plank=4, min_piece=2, stagger=2) == 5
    assert fewest([6, 6, 6], plank=4, min_piece=2, stagger=2, h_joint=1) is None


def test_steps():
    # On planks of 3 no two shifts differ by more than 1. Without trim each phase is taken once, and then the
    # shifts are alike.
    assert fewest([7, 7, 7], plank=3) == 7
    assert fewest([7, 7, 7], plank=3, stair_step=1) == 8
    assert fewest([7, 7, 7], plank=3, stair_step=2) is None
    assert fewest([7, 7, 2], plank=3, stair_step=2) is not None  # a run in one piece breaks the chain
