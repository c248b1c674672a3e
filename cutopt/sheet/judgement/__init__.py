"""A layout judged, in words for the terminal and as JSON."""

from cutopt.sheet.judgement._json import judgement_json
from cutopt.sheet.judgement._words import judgement_words

__all__ = ["judgement_json", "judgement_words"]
