"""Crop and container figures as data files, each with its source or quality mark, and their loader."""

from model.crops.loader import (
    emergence_row,
    emergence_table,
    load_containers,
    load_crops,
    normal_seedlings,
    unknown_crop,
)

__all__ = [
    "emergence_row",
    "emergence_table",
    "load_containers",
    "load_crops",
    "normal_seedlings",
    "unknown_crop",
]
