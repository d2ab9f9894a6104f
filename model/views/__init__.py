"""Questions with frozen answers."""
