"""Lets ``python -m dampinglab`` do what the command ``dampinglab`` does."""

import sys

from dampinglab.cli import main

__all__: list[str] = []

if __name__ == "__main__":
    sys.exit(main())
