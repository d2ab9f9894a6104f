"""One question a screen."""
