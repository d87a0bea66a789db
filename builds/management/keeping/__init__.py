"""Keeping a workshop's data safe: backup, restore, verify."""
