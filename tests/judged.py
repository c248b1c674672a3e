"""Hand-made layouts with their breaches: rows of pieces in inches, cut from as many planks as pieces."""

from dataclasses import replace
from fractions import Fraction

from cutopt.model.floor import Floor, Run
from cutopt.model.job import Ends, Job, Order, PlankSpec, Rules
from cutopt.model.judgement import AgainstBest, Breach, Habits, Judgement, Mend, Repeat, RuleVerdict
from cutopt.model.plan import Bound, Cutting, Part, PieceCut
from cutopt.numbering import number
from cutopt.units import Unit

INCH = 8128
JOB = Job(
    title="Back bedroom",
    unit=Unit.IN,
    plank=PlankSpec(length=48 * INCH, width=6 * INCH, per_box=8, ends=Ends.HANDED),
    rules=Rules(
        stagger=6 * INCH, min_piece=8 * INCH, h_joint=3 * INCH, stair_step=2 * INCH, cut_step=INCH // 4
    ),
    order=Order(),
    rooms=(),
)

ROWS = (
    (30, 48, 48, 8),
    (17, 48, 48, 21),
    (43, 48, 43),
    (17, 48, 48, 21),
    (13, 48, 48, 25),
    (4, 48, 48, 34),
    (26, 48, 48, 12),
)
"""A floor of 134 in: H-joint in rows 2 and 4, stagger in rows 4 and 5, a short starter in row 6."""

WHY = {
    "stagger": (
        "Joints side by side leave one weak line across several rows.",
        "trade handbook, chapter on floating floors",
    ),
    "minimum piece": ("A short piece has little to hold it down.", "common practice, no source"),
}


def ticks(inches):
    return round(Fraction(inches) * INCH)


def laid(rows=ROWS, *, starts=None, title="Back bedroom", unit=Unit.IN, field="A"):
    """Return a plan of rows of pieces, lengths in inches."""
    runs, cuts, plank = [], [], 0
    for nth, row in enumerate(rows, 1):
        offset = ticks(starts[nth - 1]) if starts else 0
        length = sum(map(ticks, row))
        runs.append(
            Run(
                room=field,
                field=field,
                line=nth,
                row=nth,
                run=1,
                offset=offset,
                length=length,
                width=6 * INCH,
                area2=12 * INCH * length,
            )
        )
        parts = [
            Part.WHOLE if piece == 48 else Part.STARTER if at == 0 else Part.END
            for at, piece in enumerate(row)
        ]
        cuts.append(
            tuple(
                PieceCut(part=part, length=ticks(piece), plank=(plank := plank + 1))
                for part, piece in zip(parts, row, strict=True)
            )
        )
    cutting = Cutting(runs=tuple(cuts), bound=Bound(planks=1, reason="none"))
    return number(Floor(runs=tuple(runs)), cutting, replace(JOB, title=title, unit=unit), 0)


def mended(rows=ROWS, row=5, start=21):
    """Return rows with one of them started elsewhere, as inches."""
    change = start - rows[row - 1][0]
    found = (start, *rows[row - 1][1:-1], rows[row - 1][-1] - change)
    return (*rows[: row - 1], found, *rows[row:])


def breaches():
    """Return the breaches of :data:`ROWS`, and a remark, with a mend of one."""
    mend = Mend(row=5, run=1, before=ticks(13), after=ticks(21), plan=laid(mended()), also=1, fresh=1)
    return (
        Breach(
            number=1,
            rule="H-joint",
            words="joints two rows apart are too close",
            rows=(2, 3, 4),
            row=4,
            run=1,
            place=ticks(65),
            found='0"',
            wanted='at least 3"',
            short='3"',
        ),
        Breach(
            number=2,
            rule="stagger",
            words="joints of neighbouring rows are too close",
            rows=(4, 5),
            row=5,
            run=1,
            place=ticks(61),
            found='4"',
            wanted='at least 6"',
            short='2"',
            mend=mend,
        ),
        Breach(
            number=3,
            rule="minimum piece",
            words="the starter is too short",
            rows=(6,),
            row=6,
            run=1,
            place=0,
            found='4"',
            wanted='at least 8"',
            short='4"',
        ),
        Breach(
            number=4,
            rule="minimum rip",
            words="a row is narrower than the minimum rip",
            rows=(7,),
            row=7,
            run=1,
            must=False,
        ),
        Breach(
            number=5,
            rule="waiting offcuts",
            words="too many planks wait",
            rows=(),
            found="7",
            wanted="at most 6",
        ),
    )


def judgement(**changes):
    """Return a judgement of :data:`ROWS` with something of every kind in it."""
    told = Judgement(
        plan=laid(),
        breaches=breaches(),
        verdicts=(
            RuleVerdict(rule="stagger", breaches=1),
            RuleVerdict(rule="H-joint", breaches=1),
            RuleVerdict(rule="stair-step"),
            RuleVerdict(rule="minimum piece", breaches=1),
            RuleVerdict(rule="minimum rip", breaches=1),
            RuleVerdict(rule="waiting offcuts", breaches=1),
            RuleVerdict(rule="offcuts", untold="which plank each piece is cut from is not told"),
        ),
        habits=Habits(
            clusters=((5, 6, "starters"),),
            repeats=(Repeat(period=2, first=2, times=2),),
            near=Fraction(3, 8),
            regularity=Fraction(1, 4),
            alike=Fraction(1, 7),
        ),
        best=AgainstBest(
            planks=27,
            best=21,
            bound=20,
            waste=Fraction(29, 100),
            best_waste=Fraction(1, 25),
            waiting=1,
            best_waiting=3,
            cuts=13,
            best_cuts=12,
            first_saved=3,
            saved_by='the 31" left of plank 5',
        ),
    )
    return replace(told, **changes)
