"""The rule book as words: a page a rule, all of it as a handbook, a short list, and JSON."""

from cutopt.sheet.rules._json import rules_json
from cutopt.sheet.rules._words import book_words, list_words, rule_words

__all__ = ["book_words", "list_words", "rule_words", "rules_json"]
