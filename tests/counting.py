"""How many queries something asks: compared between few rows and many, so that no row costs one of its own."""

from django.db import connection
from django.test.utils import CaptureQueriesContext


def queries(call):
    """Number of queries that call() makes."""
    with CaptureQueriesContext(connection) as asked:
        call()
    return len(asked)
