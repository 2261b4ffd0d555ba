"""Pure functions and frozen dataclasses, SI throughout: numpy and scipy only."""
