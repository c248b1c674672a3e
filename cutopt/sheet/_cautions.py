"""Short cautions for the work itself."""

from cutopt.model.job import PlankKind
from cutopt.model.plan import Plan
from cutopt.model.words import Block, Heading
from cutopt.sheet._text import para

__all__ = ["caution_texts", "cautions"]

# Sources: 29 CFR 1926.1101 (asbestos: presumed in resilient floors and their adhesive in buildings of 1980
# and earlier), 40 CFR 745 subpart E (lead: homes built before 1978), 29 CFR 1926.1153 (silica dust), the NIOSH
# lifting equation (a box of 40 to 60 lb off the floor is above what one person should lift). Knives: common
# practice, no source.
_OLD_FLOORS = (
    "Old resilient floors and black adhesive, laid about 1980 or before, may hold asbestos: do not sand, scrape "
    "or break them; have them tested first. Paint in homes built before 1978 may hold lead: do not sand it."
)
_LIFTING = "A full box may be too heavy for one: carry it with a helper, or in halves. Knee pads, and breaks."
_KNIFE = "Knife: fresh blade, cut away from the body and the holding hand, shut it when you lay it down."
_SAW = "Saw: eye and ear protection, the plank clamped, hands clear of the blade. Dust: cut outdoors or with a vacuum."
_GRINDING = "Grinding concrete makes silica dust: use a shroud and a fine-dust vacuum."
_KNIFE_CUT = {PlankKind.GLUE_DOWN_VINYL, PlankKind.CLICK_VINYL}


def cautions(plan: Plan) -> list[Block]:
    """Return what to mind before the first cut."""
    return [Heading("Mind"), *(para(text, first="  - ") for text in caution_texts(plan.plank.kind))]


def caution_texts(kind: PlankKind | None) -> list[str]:
    """Return the cautions for a kind of plank, one paragraph each."""
    tools = {True: [_KNIFE], False: [_SAW]}.get(kind in _KNIFE_CUT, [])
    if kind is None:
        tools = [_KNIFE, _SAW]
    return [*tools, _OLD_FLOORS, _GRINDING, _LIFTING]
