"""A course, with its tools, on setting up adjustable suspension dampers."""

__all__ = ["__version__"]

__version__ = "0.1.0"
