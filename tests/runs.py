"""A run of a floor for tests, one tick standing for whatever the test says."""

from cutopt.model.floor import Run


def run_of(  # noqa: PLR0913 - a run
    line, length, *, offset=0, nth=1, room="Loft", row=None, slants=(0, 0), width=100
):
    return Run(
        room=room,
        field=room,
        line=line,
        row=row or line,
        run=nth,
        offset=offset,
        length=length,
        width=width,
        left_slant=slants[0],
        right_slant=slants[1],
        area2=2 * width * length,
    )
