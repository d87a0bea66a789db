"""An empty installation beside the one under test, driven by manage.py in processes of its own."""

import os
import subprocess
import sys
from pathlib import Path
from urllib.parse import quote

from django.db import connection

HOUSE = Path(__file__).resolve().parent.parent.parent
BESIDE = "loopwright_restored"


class Elsewhere:
    def __init__(self, folder):
        self.folder = folder
        self.env = {k: v for k, v in os.environ.items() if k != "DATABASE_URL"} | {"LOOPWRIGHT_VAR": str(folder)}
        if connection.vendor == "postgresql":
            self._sql(f"DROP DATABASE IF EXISTS {BESIDE}")
            self._sql(f"CREATE DATABASE {BESIDE}")
            self.env["DATABASE_URL"] = self._address()

    def close(self):
        if connection.vendor == "postgresql":
            self._sql(f"DROP DATABASE IF EXISTS {BESIDE}")

    def manage(self, *words):
        """The finished process of a manage.py command there."""
        command = [sys.executable, str(HOUSE / "manage.py"), *map(str, words)]
        return subprocess.run(command, env=self.env, cwd=HOUSE, capture_output=True, text=True)

    def ask(self, code):
        """What a piece of Python prints there."""
        return self.manage("shell", "-v", "0", "-c", code).stdout.strip()

    @property
    def files(self):
        """{path: bytes} of all kept files there."""
        root = self.folder / "files"
        return {str(path.relative_to(root)): path.read_bytes() for path in root.rglob("*") if path.is_file()}

    @staticmethod
    def _sql(words):
        with connection.cursor() as cursor:
            cursor.execute(words)

    @staticmethod
    def _address():
        at = connection.settings_dict
        secret = f":{quote(at['PASSWORD'], safe='')}" if at["PASSWORD"] else ""
        return f"postgres://{at['USER']}{secret}@{quote(at['HOST'], safe='')}:{at['PORT']}/{BESIDE}"
