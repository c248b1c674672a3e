"""Plan the cuts of a plank floor: fewest planks under the trade's rules, proved and checked."""

__all__ = ["__version__"]

__version__ = "0.1.0"
