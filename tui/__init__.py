"""What the grower sees and presses."""
