"""Crop and container figures as data files, each with its source or quality mark, and their loader."""
