"""Ids of what stands on the bench and of the places of the small farm."""

TOMATO, FLAT, KALE = 1, 2, 3
"""The trays; their numbers are the same."""

MAT, SHELF, SLATS, FRAME, HARDENING, CORNER = range(1, 7)
