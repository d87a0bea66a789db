"""Sends one form again and again, in processes that are killed in the middle of it.

Run by test_cut_off.py as `python cut_off.py` with a JSON job on standard input: {path, form, session}. The first child
sends the form and kills itself (SIGKILL) after its first statement that writes, the next one after its second, and so
on, until one has no further statement to die after; that one commits, and nobody ever gets its answer. Prints as JSON
{killed: how many died before their commit, traces: which of them changed a row of any table}.
"""

import hashlib
import json
import os
import signal
import sys
from pathlib import Path

FINISHED = 7
WRITES = ("INSERT", "UPDATE", "DELETE")


def main(job):
    killed, traces = 0, []
    import django

    django.setup()
    import weasyprint  # noqa: F401  (before the children are made, so that each need not)

    import builds.urls  # noqa: F401

    before = fingerprint()
    while (outcome := in_a_child(send, job, killed + 1)) != FINISHED:
        if outcome != -signal.SIGKILL or killed > 500:
            sys.exit(f"child {killed + 1} ended with {outcome}")
        killed += 1
        if fingerprint() != before:
            traces.append(killed)
    sys.stdout.write(json.dumps({"killed": killed, "traces": traces}))


def in_a_child(work, *args):
    """Exit code of work(*args) in a process of its own; a signal's is below zero."""
    child = os.fork()
    if not child:
        code = 99
        try:
            code = work(*args)
        finally:
            os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def send(job, last):
    """Post the form; die after the statement number `last` that writes."""
    from django.conf import settings
    from django.db import connection
    from django.test import Client

    done = 0

    def count(execute, sql, params, many, context):
        nonlocal done
        answer = execute(sql, params, many, context)
        if sql.startswith(WRITES):
            done += 1
            if done == last:
                os.kill(os.getpid(), signal.SIGKILL)
        return answer

    client = Client(SERVER_NAME="localhost")
    client.cookies[settings.SESSION_COOKIE_NAME] = job["session"]
    with connection.execute_wrapper(count):
        answer = client.post(job["path"], job["form"])
    if answer.status_code != 302:
        sys.stderr.write(answer.content.decode())
        return 98
    return FINISHED


def fingerprint():
    """A hash over every row of every table; the connection is closed again, so that no child inherits it."""
    from django.apps import apps
    from django.db import connection

    said = hashlib.sha256()
    for model in apps.get_models(include_auto_created=True):
        said.update(repr((model._meta.label, list(model.objects.order_by("pk").values_list()))).encode())
    connection.close()
    return said.hexdigest()


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))
    os.environ["DJANGO_SETTINGS_MODULE"] = "builds.settings"
    main(json.load(sys.stdin))
