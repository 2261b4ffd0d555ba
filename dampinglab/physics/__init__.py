"""Pure functions and frozen dataclasses, SI throughout: numpy and scipy only."""

__all__: list[str] = []
