"""The workshop's job: read what was measured, and turn it into a setting with its reason."""

__all__: list[str] = []
