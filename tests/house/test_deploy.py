"""Served by TLS, Django's own check of a deployment finds nothing, and cookies keep to this host."""

import os
import subprocess
import sys
from pathlib import Path

HOUSE = Path(__file__).resolve().parent.parent.parent


def manage(tmp_path, *words):
    env = {name: value for name, value in os.environ.items() if name != "DJANGO_ALLOW_ASYNC_UNSAFE"}  # the tests' own
    env |= {"LOOPWRIGHT_TLS": "1", "LOOPWRIGHT_VAR": str(tmp_path), "LOOPWRIGHT_SECRET": "k" * 30 + "0123456789" * 3}
    command = [sys.executable, str(HOUSE / "manage.py"), *words]
    return subprocess.run(command, env=env, cwd=HOUSE, capture_output=True, text=True)


def test_the_deployment_check_is_clean(tmp_path):
    done = manage(tmp_path, "check", "--deploy", "--fail-level", "WARNING")
    assert done.returncode == 0, done.stderr
    assert "no issues" in done.stdout


def test_cookies_go_by_tls_and_to_this_host_alone(tmp_path):
    asked = "from django.conf import settings as s; print(s.SESSION_COOKIE_NAME, s.CSRF_COOKIE_NAME, "
    asked += "s.SESSION_COOKIE_SECURE, s.CSRF_COOKIE_SECURE, s.SESSION_COOKIE_DOMAIN, s.SESSION_COOKIE_PATH)"
    done = manage(tmp_path, "shell", "-v", "0", "-c", asked)
    assert done.stdout.split() == ["__Host-session", "__Host-csrf", "True", "True", "None", "/"]
