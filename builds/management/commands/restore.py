"""Put a backup into an empty installation."""

from django.core.management import BaseCommand, CommandError

from builds.management.keeping.archive import Damaged
from builds.management.keeping.databases import Trouble
from builds.management.keeping.safe import restore


class Command(BaseCommand):
    help = "Put a backup into an empty installation. It is checked whole before anything is written."
    requires_system_checks = []

    def add_arguments(self, parser):
        parser.add_argument("source", help="the file that `backup` wrote")

    def handle(self, *args, source, **options):
        try:
            manifest = restore(source)
        except (Trouble, Damaged) as error:
            raise CommandError(f"{error} Nothing was restored.") from error
        count = len(manifest.entries) - 1
        self.stdout.write(f"restored: the database of {manifest.made_at} and {count} files")
        self.stdout.write("Now run `manage.py migrate`, then `manage.py verify`; everybody signs in anew.")
