"""Commands that print or read and never draw; each module adds its own."""
