"""Drawn things: they are given data and send messages."""
