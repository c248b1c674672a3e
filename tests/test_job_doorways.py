"""Doorways and stops of job files: every refusal word for word."""

import pytest
from ground_texts import FROM, GROUND, KNOWN_WALLS, NAMES, NEGATIVE, ROOMS, TWO_ROOMS, WALLS, WHERE, ZERO
from test_job_refusals import problems

ONE_PROBLEM = {
    "doorway to a room not there": (
        'rooms = ["Hall", "Study"]',
        'rooms = ["Hall", "Studio"]',
        [
            '"Studio" is not a room of this file - loft.toml: doorway[1].rooms[2] - did you mean "Study"? use one of "Hall", "Study"'
        ],
    ),
    "doorway to rows given outright": (
        'rooms = ["Hall", "Study"]',
        'rooms = ["Hall", "Closet"]',
        [
            '"Closet" gives its rows outright - loft.toml: doorway[1].rooms[2] - give the room by its walls, so that it has a place'
        ],
    ),
    "doorway of three rooms": (
        'rooms = ["Hall", "Study"]',
        'rooms = ["Hall", "Study", "Hall"]',
        [f"a list of 3 is not one room, or two - loft.toml: doorway[1].rooms - {ROOMS}"],
    ),
    "doorway from a room to itself": (
        'rooms = ["Hall", "Study"]',
        'rooms = ["Hall", "Hall"]',
        [f"a list of 2 names one room twice - loft.toml: doorway[1].rooms - {ROOMS}"],
    ),
    "doorway of no room": (
        'rooms = ["Hall", "Study"]',
        "rooms = []",
        [f"a list of 0 is empty - loft.toml: doorway[1].rooms - {ROOMS}"],
    ),
    "doorway without rooms": (
        'rooms = ["Hall", "Study"]\n',
        "",
        [f'"rooms" is missing - loft.toml: doorway[1].rooms - {ROOMS}'],
    ),
    "doorway in a wall that is none": (
        'walls = ["B-C", "D-A"]',
        'walls = ["A-C", "D-A"]',
        [f'"A-C" is not a wall of "Hall" - loft.toml: doorway[1].walls[1] - {KNOWN_WALLS}'],
    ),
    "doorway with a wall too many": (
        'walls = ["B-C", "D-A"]',
        'walls = ["B-C", "D-A", "A-B"]',
        [f"a list of 3 has more walls than there are rooms - loft.toml: doorway[1].walls - {WALLS}"],
    ),
    "doorway without from": (
        "from = [8, 12]\n",
        "",
        [f'"from" is missing - loft.toml: doorway[1].from - {FROM}'],
    ),
    "doorway with a distance too few": (
        "from = [8, 12]",
        "from = [8]",
        [f"a list of 1 has not one distance for each wall - loft.toml: doorway[1].from - {FROM}"],
    ),
    "doorway with a negative distance": (
        "from = [8, 12]",
        "from = [8, -12]",
        [f"-12 is negative - loft.toml: doorway[1].from[2] - {NEGATIVE}"],
    ),
    "doorway of no width": (
        "width = 30",
        "width = 0",
        [f"0 is no length - loft.toml: doorway[1].width - {ZERO}"],
    ),
    "doorway without width": (
        "width = 30\n",
        "",
        [
            '"width" is missing - loft.toml: doorway[1].width - give the width of the opening, from jamb to jamb'
        ],
    ),
    "doorway of no depth": (
        "depth = 4.5",
        "depth = 0",
        [f"0 is no length - loft.toml: doorway[1].depth - {ZERO}"],
    ),
    "strip of no width": (
        "strip = 1.5",
        "strip = 0",
        [f"0 is no length - loft.toml: doorway[1].strip - {ZERO}"],
    ),
    "undercut below zero": (
        'undercut = "1/2"',
        'undercut = "-1/2"',
        [f'"-1/2" is negative - loft.toml: doorway[1].undercut - {NEGATIVE}'],
    ),
    "two doorways of one name": (
        'rooms = ["Hall"]',
        'name = "study door"\nrooms = ["Hall"]',
        [f'"study door" is the name of another doorway too - loft.toml: doorway[2].name - {NAMES}'],
    ),
    "doorway that is no list of tables": (
        '[[stop]]\nname = "vent side"',
        'doorway = 3\n[[stop]]\nname = "vent side"',
        [
            '"doorway" is not known here - loft.toml: doorway[2].doorway - use one of "name", "rooms", "walls", "from", "width", "depth", "undercut", "strip"'
        ],
    ),
    "stop without a room": (
        'room = "Hall"\nat = "2 ft"',
        'at = "2 ft"',
        ['"room" is missing - loft.toml: stop[4].room - name the room that the stop is in'],
    ),
    "stop in a room of no name": (
        'room = "Hall"\nat = "2 ft"',
        'room = ""\nat = "2 ft"',
        [f'"" is not a room of this file - loft.toml: stop[4].room - {TWO_ROOMS}'],
    ),
    "stop in a room not there": (
        'room = "Hall"\nat = "2 ft"',
        'room = "hall"\nat = "2 ft"',
        [
            '"hall" is not a room of this file - loft.toml: stop[4].room - did you mean "Hall"? use one of "Hall", "Study"'
        ],
    ),
    "stop without a place": (
        'at = "2 ft"\n',
        "",
        [f"found none of at, wall, thing, doorway - loft.toml: stop[4] - {WHERE}"],
    ),
    "stop with two places": (
        'at = "2 ft"',
        'at = "2 ft"\nwall = "A-B"',
        [f"found at and wall - loft.toml: stop[4] - {WHERE}"],
    ),
    "stop at a wall that is none": (
        'wall = "D-C"',
        'wall = "DC"',
        [f'"DC" is not a wall of "Study" - loft.toml: stop[2].wall - {KNOWN_WALLS}'],
    ),
    "stop at a thing not there": (
        'thing = "vent"',
        'thing = "went"',
        ['"went" is not known here - loft.toml: stop[1].thing - did you mean "vent"? use one of "vent"'],
    ),
    "stop at a doorway of another room": (
        'doorway = "study door"',
        'doorway = "doorway 2"',
        ['"doorway 2" is not known here - loft.toml: stop[3].doorway - use one of "study door"'],
    ),
    "stop on a side not known": (
        'side = "after"',
        'side = "behind"',
        ['"behind" is not known here - loft.toml: stop[3].side - use one of "before", "after"'],
    ),
    "stop full and of a least rip": (
        "min_rip = 3",
        "min_rip = 3\nfull = true",
        [
            "true stands beside min_rip - loft.toml: stop[2].full - ask for a full row there, or for a least rip"
        ],
    ),
    "stop full of a word": (
        "full = true",
        'full = "yes"',
        ['"yes" is neither true nor false - loft.toml: stop[1].full - write true or false without quotes'],
    ),
    "stop at a negative place": (
        'at = "2 ft"',
        'at = "-2 ft"',
        [f'"-2 ft" is negative - loft.toml: stop[4].at - {NEGATIVE}'],
    ),
}


@pytest.mark.parametrize(("found", "instead", "told"), ONE_PROBLEM.values(), ids=ONE_PROBLEM)
def test_a_wrong_file_is_refused_word_for_word(found, instead, told):
    assert found in GROUND
    assert problems(GROUND.replace(found, instead, 1)) == told
