"""What is printed: views drawn as PDF."""
