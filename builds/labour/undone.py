"""The word that finished work is undone, for rooms further right: tests that rest on it are due again."""

from django.dispatch import Signal

# Sent with job, by, why (words for people), task (the Task opened again, or None) and kinds (of the parts touched).
work_undone = Signal()
