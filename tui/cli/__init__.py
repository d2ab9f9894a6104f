"""The commands that need no screen, one module each."""
