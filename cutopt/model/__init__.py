"""The immutable data every stage shares; it imports nothing of the program but units.

All lengths are whole ticks (see :mod:`cutopt.units`).
"""
