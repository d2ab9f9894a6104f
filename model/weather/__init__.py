"""Daily weather files as they come, and what in them can be used."""
