"""Prepare the demo workshop and serve it."""

import os
import secrets
import sys

from django.conf import settings
from django.core.management import BaseCommand, CommandError, call_command

NAME = "wright"
HELPER = "hand"


class Command(BaseCommand):
    help = "Prepare the demo workshop in the var folder and serve it at http://127.0.0.1:8000."

    def add_arguments(self, parser):
        parser.add_argument("--prepare-only", action="store_true", help="prepare, but do not serve")
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *args, prepare_only, port, **options):
        secret, password = self._kept("demo-secret", 48), self._kept("demo-password", 9)
        call_command("migrate", verbosity=0)
        self._fill(password)
        address = f"http://127.0.0.1:{port}"
        self.stdout.write(f"\nThe demo workshop is ready.\n  address:  {address}")
        self.stdout.write(f"  name:     {NAME}      (the owner; {HELPER} is a helper)\n  password: {password}\n")
        if not prepare_only:
            self._serve(secret, port)

    def _kept(self, name, length):
        """A random text made once and kept in the var folder, readable by its owner alone."""
        path = settings.VAR / name
        if not path.exists():
            with open(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as kept:
                kept.write(secrets.token_urlsafe(length))
        return path.read_text().strip()

    def _fill(self, password):
        from builds.jobs.models import Job
        from builds.management.scenario.story import tell
        from parts.workshop.models import Person

        if Person.objects.filter(username=NAME).exists():
            self.stdout.write("The demo stands already; nothing was changed.")
        elif Person.objects.exists() or Job.objects.exists():
            raise CommandError(
                "This database holds a workshop of its own. "
                "Set LOOPWRIGHT_VAR to an empty folder (and no DATABASE_URL) for the demo."
            )
        else:
            tell(NAME, HELPER, password)

    def _serve(self, secret, port):
        """Hand this process over to the server, so that Ctrl-C ends both."""
        os.environ.setdefault("LOOPWRIGHT_SECRET", secret)
        sys.stdout.flush()
        command = [sys.executable, "-m", "gunicorn", "builds.wsgi", "-b", f"127.0.0.1:{port}", "--workers", "2"]
        os.execv(sys.executable, [*command, "--log-level", "warning"])
