"""Crop and container figures as data files, each with its source or quality mark, and their loader."""

from model.crops.loader import (
    crop_name,
    crop_names,
    emergence_row,
    emergence_table,
    load_containers,
    load_crops,
    normal_seedlings,
    said_variety,
    unknown_crop,
    variety_name,
)

__all__ = [
    "crop_name",
    "crop_names",
    "emergence_row",
    "emergence_table",
    "load_containers",
    "load_crops",
    "normal_seedlings",
    "said_variety",
    "unknown_crop",
    "variety_name",
]
