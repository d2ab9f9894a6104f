"""An invented farm as plain CSV text."""
