"""A job file with places, things, doorways and stops that tests start from, and what its remedies say."""

GROUND = """\
unit = "in"

[plank]
kind = "click vinyl"
length = 48
width = 7
per_box = 8
pitch = { rows = 20, measure = "140-3/8" }
width_tolerance = "1/64"
thickness = "5 mm"

[layout]
direction = "y"
edges = "full last"
first_width = "3-1/2"
run_limit_along = "40 ft"
run_limit_across = "30 ft"
movement = "1/64"

[[room]]
name = "Hall"
size = [150, 48]
at = [12, 200]
down = [[20, 68, 116], [92, 44]]

[[room.fixed]]
name = "vent"
kind = "vent"
at = [20, 20]
size = [10, 3]

[[room]]
name = "Study"
outline = [[0, 0], [100, 0], [100, 90], [0, 90]]

[[room.fixed]]
kind = "column"
outline = [[50, 40], [54, 42], [50, 44]]
gap = "1/4"

[[room]]
name = "Closet"
rows = [{ length = 40, count = 7 }]
down = [[12]]

[[doorway]]
name = "study door"
rooms = ["Hall", "Study"]
walls = ["B-C", "D-A"]
from = [8, 12]
width = 30
depth = 4.5
undercut = "1/2"
strip = 1.5

[[doorway]]
rooms = ["Hall"]
walls = ["A - D"]
from = [0]
width = 36

[[stop]]
name = "vent side"
room = "Hall"
thing = "vent"
side = "before"
full = true

[[stop]]
room = "Study"
wall = "D-C"
min_rip = 3

[[stop]]
room = "Study"
doorway = "study door"
side = "after"

[[stop]]
room = "Hall"
at = "2 ft"
"""

AT = "write at = [x, y]: where the room's own (0, 0) lies on the common plan"
DOWN = "write down = [[20, 68, 116], [44, 92]]: the joints of each row there is, the nearest row last"
ROOMS = 'write rooms = ["Hall", "Study"], or the one room that the doorway leads out of'
WALLS = 'write walls = ["B-C", "D-A"]: the wall it is in, in each room, by its two corners'
FROM = "write from = [26, 12]: along each wall, from its first corner to the nearer jamb"
NEGATIVE = "a length is 0 or more: check the sign"
ZERO = "give a length above zero"
KNOWN_WALLS = 'name it by its two corners: use one of "A-B", "B-C", "C-D", "D-A"'
PLACES = "give a thing its place and size, or its outline, not both"
PITCH = 'write pitch = { rows = 20, measure = "140-3/8" }: so many rows, laid tight, measure so much'
ANGLE = 'give "x", "y", "best", or degrees from 0 to under 180'
WHERE = "say where the stop is by exactly one of these"
TWO_ROOMS = 'use one of "Hall", "Study"'
NAMES = "give every doorway a name of its own"
