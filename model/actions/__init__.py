"""Wishes: each one transaction, each answered by a receipt."""
