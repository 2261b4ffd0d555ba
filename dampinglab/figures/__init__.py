"""Pictures drawn from results, and the words under them; nothing is computed here."""

__all__: list[str] = []
