"""Plans from nothing: a beam search over the runs, what guides it, and a thrifty cut of chosen pieces."""
