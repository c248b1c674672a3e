"""The ground: rooms in their places on the plan, joined into fields, inside their gaps.

``place`` brings rooms onto one plan, ``fields`` joins those whose rows run through, ``inset`` takes
off gaps and fixed things, ``misfits`` finds what cannot be so. Shapely is loaded only where a field is
more than a rectangle by itself.
"""

from cutopt.layout.ground.fields import FieldGround, Site, survey_site

__all__ = ["FieldGround", "Site", "survey_site"]
