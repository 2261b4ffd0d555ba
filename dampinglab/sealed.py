"""Pages that the course wrote itself, told from pages that are somebody's own or were changed."""

import hashlib
from pathlib import Path

__all__ = ["is_ours", "sealed"]

_SEAL = "\n<!-- dampinglab page {} -->\n"


def sealed(html: str) -> str:
    """Return a page with a digest of itself behind it."""
    return html + _SEAL.format(hashlib.sha256(html.encode()).hexdigest())


def is_ours(path: Path) -> bool:
    """Whether the course wrote this page and nobody has changed a letter of it since."""
    try:
        if path.is_symlink() or not path.is_file():
            return False
        found = path.read_bytes().decode()
    except (OSError, ValueError):
        return False
    html, mark, _ = found.rpartition(_SEAL.partition("{")[0])
    return bool(mark) and found == sealed(html)
