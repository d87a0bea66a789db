"""Write the whole workshop to one checked file; meant for a nightly timer, while people go on working."""

from django.core.management import BaseCommand, CommandError

from builds.management.keeping.databases import Trouble
from builds.management.keeping.safe import back_up


class Command(BaseCommand):
    help = "Write database, documents and photos to one checked file, while the workshop goes on working."
    requires_system_checks = []

    def add_arguments(self, parser):
        parser.add_argument("dest", help="a new file, or a folder in which one is named by the time")

    def handle(self, *args, dest, **options):
        try:
            path, manifest = back_up(dest)
        except Trouble as error:
            raise CommandError(str(error)) from error
        size, count = path.stat().st_size / 1024**2, len(manifest.entries) - 1
        self.stdout.write(f"{path}: the database and {count} files, {size:.1f} MB, written and read again")
