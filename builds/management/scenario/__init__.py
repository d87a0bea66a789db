"""The demo: an invented workshop whose jobs are carried forward by the same methods that the pages call."""
